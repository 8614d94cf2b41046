// The page begins here: the list of builds, or one build as a book.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { BookPage } from './book-page.tsx';
import { BuildsPage } from './builds-page.tsx';

const root = document.getElementById('page');
const build = /^\/builds\/([^/]+)\/?$/.exec(location.pathname);
if (root !== null)
  createRoot(root).render(
    <StrictMode>{build === null ? <BuildsPage /> : <BookPage id={decodeURIComponent(build[1]!)} />}</StrictMode>,
  );
