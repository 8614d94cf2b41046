// The book: title, standfirst, chapters with their margins. One tree sets the live page and book.html.
import type { ReactNode } from 'react';
import type { BookText, ChapterName, ChapterText, Drawings } from '../../workshop/book/book-text.ts';
import { Blocks } from './block-view.tsx';

/** How a chapter stands while the page is live. */
export interface ChapterStanding {
  readonly stale: boolean;
  /** A line under its title, or null. */
  readonly says: string | null;
}

export interface BookViewProps {
  readonly text: BookText;
  readonly drawings: Drawings;
  readonly standings?: Readonly<Partial<Record<ChapterName, ChapterStanding>>>;
  /** In place of the title's own words. */
  readonly title?: ReactNode;
  /** Under the standfirst. */
  readonly front?: ReactNode;
  /** Under the title of a chapter. */
  readonly heads?: Readonly<Partial<Record<ChapterName, ReactNode>>>;
  /** More notes in the margin of a chapter. */
  readonly notes?: Readonly<Partial<Record<ChapterName, ReactNode>>>;
  /** At the end of a chapter. */
  readonly ends?: Readonly<Partial<Record<ChapterName, ReactNode>>>;
}

const FRESH: ChapterStanding = { stale: false, says: null };

export function BookView(props: BookViewProps) {
  const { text, drawings, standings = {}, title, front, heads = {}, notes = {}, ends = {} } = props;
  return (
    <article className="book">
      <header className="front">
        <p className="imprint">A workshop book</p>
        <h1>{title ?? text.title}</h1>
        <div className="standfirst">
          <Blocks blocks={text.standfirst} drawings={drawings} />
        </div>
        {front}
      </header>
      {text.chapters.map((chapter, index) => (
        <ChapterView
          key={chapter.name}
          chapter={chapter}
          number={index + 1}
          drawings={drawings}
          standing={standings[chapter.name] ?? FRESH}
          head={heads[chapter.name]}
          notes={notes[chapter.name]}
          end={ends[chapter.name]}
        />
      ))}
    </article>
  );
}

function ChapterView(props: {
  readonly chapter: ChapterText;
  readonly number: number;
  readonly drawings: Drawings;
  readonly standing: ChapterStanding;
  readonly head: ReactNode;
  readonly notes: ReactNode;
  readonly end: ReactNode;
}) {
  const { chapter, number, drawings, standing, head, notes, end } = props;
  const titleId = `${chapter.name}-title`;
  return (
    <section
      className={`chapter chapter-${chapter.state}${standing.stale ? ' chapter-stale' : ''}`}
      id={chapter.name}
      data-chapter={chapter.name}
      aria-labelledby={titleId}
    >
      <header className="chapter-head">
        <span className="chapter-number" aria-hidden="true">
          {number}
        </span>
        <h2 id={titleId}>{chapter.title}</h2>
        <p className="asks">{chapter.asks}</p>
        {standing.says !== null && <p className="standing">{standing.says}</p>}
        {head}
      </header>
      {(chapter.margin.length > 0 || notes !== undefined) && (
        // biome-ignore lint/a11y/useSemanticElements: no form's group, and an aside may not stand within the main text
        <div className="margin" role="group" aria-label={`Notes on ${chapter.title}`}>
          <Blocks blocks={chapter.margin} drawings={drawings} />
          {notes}
        </div>
      )}
      <div className="chapter-text">
        <Blocks blocks={chapter.blocks} drawings={drawings} />
      </div>
      {end !== undefined && <div className="chapter-end">{end}</div>}
    </section>
  );
}
