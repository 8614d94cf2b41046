// The running head of the pages around the books: the way to the shelf and the workshop, and what this page can do.
import type { ReactNode } from 'react';

const PAGES = [
  { name: 'shelf', path: '/', title: 'Shelf' },
  { name: 'workshop', path: '/workshop', title: 'Workshop' },
] as const;

export function HouseHead({ at, children }: { at: 'shelf' | 'workshop' | null; children?: ReactNode }) {
  return (
    <header className="house-head">
      <a className="home" href="/" aria-label="Helmwright, to the shelf">
        Helmwright
      </a>
      <nav aria-label="Pages">
        <ul className="house-pages">
          {PAGES.map(({ name, path, title }) => (
            <li key={name}>
              <a href={path} aria-current={name === at ? 'page' : undefined}>
                {title}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <div className="house-does">{children}</div>
    </header>
  );
}

/** A line that tells the program does not answer, where a page would otherwise look as if nothing happened. */
export function LostLine({ lost }: { lost: boolean }) {
  return (
    <p className="house-lost" role="status">
      {lost && 'The program does not answer; trying again.'}
    </p>
  );
}
