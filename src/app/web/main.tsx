// The page begins here: which of the pages the address names; the code of each is loaded when it is asked for.
import { type ReactNode, StrictMode } from 'react';
import { createRoot } from 'react-dom/client';

interface Route {
  readonly path: RegExp;
  open(parts: readonly string[]): Promise<ReactNode>;
}

const ROUTES: readonly Route[] = [
  {
    path: /^\/builds\/([^/]+)\/?$/,
    open: async ([id]) => {
      const { BookPage } = await import('./book-page.tsx');
      return <BookPage id={id!} />;
    },
  },
  {
    path: /^\/builds\/([^/]+)\/history\/?$/,
    open: async ([id]) => {
      const { HistoryPage } = await import('./history-page.tsx');
      return <HistoryPage id={id!} />;
    },
  },
  {
    path: /^\/beside\/([^/]+)\/([^/]+)\/?$/,
    open: async ([left, right]) => {
      const { BesidePage } = await import('./beside-page.tsx');
      return <BesidePage left={left!} right={right!} />;
    },
  },
  {
    path: /^\/workshop\/?$/,
    open: async () => {
      const { WorkshopPage } = await import('./workshop-page.tsx');
      return <WorkshopPage />;
    },
  },
  {
    path: /^\//,
    open: async () => {
      const { ShelfPage } = await import('./shelf-page.tsx');
      return <ShelfPage />;
    },
  },
];

async function pageAt(path: string): Promise<ReactNode> {
  for (const route of ROUTES) {
    const found = route.path.exec(path);
    if (found !== null) return route.open(found.slice(1).map(decodeURIComponent));
  }
  return null;
}

const root = document.getElementById('page');
if (root !== null)
  pageAt(location.pathname).then(
    (page) => createRoot(root).render(<StrictMode>{page}</StrictMode>),
    () => {
      root.textContent = 'The page could not be loaded. See whether the program still runs, then reload.';
    },
  );
