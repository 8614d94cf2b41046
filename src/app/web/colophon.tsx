// The last lines of the book: how it was set, and under which fingerprints it was computed.
import type { ReactNode } from 'react';
import type { BookText } from '../../workshop/book/book-text.ts';

export function Colophon({ text, children }: { text: BookText; children?: ReactNode }) {
  const computed = text.chapters.filter((chapter) => chapter.fingerprint !== '');
  return (
    <footer className="colophon">
      {children}
      <p>
        Set in Literata and Source Sans 3. Lengths, hours and grams are computed, not promised: measure before you cut.
      </p>
      {computed.length > 0 && (
        <p className="fingerprints">
          Fingerprints:{' '}
          {computed.map((chapter, index) => (
            <span key={chapter.name}>
              {index > 0 && ', '}
              {chapter.title} <code>{chapter.fingerprint.slice(0, 10)}</code>
            </span>
          ))}
          .
        </p>
      )}
    </footer>
  );
}
