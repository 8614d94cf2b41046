// What the live page adds to a chapter: the questions that are open, and newer records of the workshop in its margin.
import type { MouseEvent } from 'react';
import { CHAPTER_NAMES, type ChapterName, type ChapterText, type Decision } from '../../workshop/book/book-text.ts';
import type { Offer } from '../api/api.ts';
import { controlHash } from './control-link.ts';
import type { Editing } from './reader.ts';

type Follow = (event: MouseEvent<HTMLAnchorElement>) => void;

export function DecisionLine({ decisions, follow }: { decisions: readonly Decision[]; follow: Follow }) {
  return (
    <p className="decisions">
      <b>Yours to decide:</b>{' '}
      {decisions.map((decision, index) => (
        <span key={`${decision.path} ${decision.asks}`}>
          {index > 0 && ' '}
          <a href={controlHash(decision)} onClick={follow}>
            {decision.asks}
          </a>
        </span>
      ))}
    </p>
  );
}

export function OfferNote({ offer, editing }: { offer: Offer; editing: Editing }) {
  const problem = editing.problemAt(offer.path);
  return (
    <div className="offer">
      <h3>The workshop has changed</h3>
      <p>
        The workshop’s {offer.name} is no longer as this book has it: {endless(offer.says)}.{' '}
        <button
          type="button"
          className="word yours"
          onClick={() => editing.set(offer.path, offer.value, followsOffer(offer))}
        >
          Take it over
        </button>
        , or leave it: this book keeps its own.
      </p>
      {problem !== undefined && (
        <p className="offer-trouble" role="alert">
          {problem.detail} {problem.tryThis}
        </p>
      )}
    </div>
  );
}

/** The chapter in whose margin an offer stands. */
export const OFFER_CHAPTER: ChapterName = 'printing';

/** A machine may have another bed: the pieces follow as well. A material only weighs differently. */
function followsOffer({ path }: Offer): readonly ChapterName[] {
  return path.startsWith('machines')
    ? ['wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface']
    : ['printing', 'beds', 'surface'];
}

function endless(words: string): string {
  return words.replace(/\.\s*$/, '');
}

/** One node for each chapter that has one. */
export function byChapter<T>(
  chapters: readonly ChapterText[],
  nodeOf: (chapter: ChapterText) => T | null,
): Readonly<Partial<Record<ChapterName, T>>> {
  const nodes: Partial<Record<ChapterName, T>> = {};
  for (const name of CHAPTER_NAMES) {
    const chapter = chapters.find((each) => each.name === name);
    const node = chapter === undefined ? null : nodeOf(chapter);
    if (node !== null) nodes[name] = node;
  }
  return nodes;
}
