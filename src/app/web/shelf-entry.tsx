// One book on the shelf: its drawing, title, how it stands, what has to be decided next, and what can be done with it.
import { memo, useState } from 'react';
import type { BuildCard, Problem } from '../api/api.ts';
import { controlHash } from './control-link.ts';
import { DrawingLines } from './drawing-lines.tsx';
import { dayAndHourWords, dayWords } from './house-days.ts';
import { unbroken } from './house-words.ts';
import { ProblemView } from './problem-view.tsx';
import { buildUrl } from './server-calls.ts';
import { useAsking } from './use-asking.ts';

const STATES: Readonly<Record<BuildCard['state'], string>> = {
  computed: 'computed',
  computing: 'computing',
  refused: 'refused',
  'not computed': 'not computed',
  trouble: 'trouble',
};

export interface ShelfEntryProps {
  readonly card: BuildCard;
  readonly remove: (card: BuildCard) => Promise<Problem | null>;
}

export const ShelfEntry = memo(function ShelfEntry({ card, remove }: ShelfEntryProps) {
  const path = `/builds/${encodeURIComponent(card.id)}`;
  const now = new Date();
  return (
    <li className={`shelf-entry shelf-${card.state.replace(' ', '-')}`}>
      <div className="shelf-thumb" aria-hidden="true">
        {card.thumbnail === null ? <span className="quiet">not drawn yet</span> : <DrawingLines svg={card.thumbnail} />}
      </div>
      <div className="shelf-words">
        <div className="shelf-line">
          <h3>
            <a href={path}>{card.title}</a>
          </h3>
          <span className="shelf-leader" aria-hidden="true" />
          <span className="shelf-day">
            <span className="unseen">changed </span>
            {dayAndHourWords(card.changedAt, now)}
          </span>
        </div>
        <p className="shelf-says">
          <b className="shelf-state">{STATES[card.state]}</b>
          {card.says !== '' && <span className="shelf-words-of">{unbroken(card.says)}</span>}
        </p>
        {card.next !== null && (
          <p className="shelf-next">
            Next: <a href={`${path}${controlHash(card.next)}`}>{asked(card.next.asks)}</a>
          </p>
        )}
        <ShelfDoes card={card} path={path} begun={dayWords(card.begunAt, now)} remove={remove} />
      </div>
    </li>
  );
});

/** As the rest of a sentence: "which way is up?". Names and single letters keep their capital. */
function asked(question: string): string {
  const [first = ''] = question.split(' ');
  return /^[A-Z][a-z]+$/.test(first) ? `${first.toLowerCase()}${question.slice(first.length)}` : question;
}

function ShelfDoes(props: {
  readonly card: BuildCard;
  readonly path: string;
  readonly begun: string;
  readonly remove: (card: BuildCard) => Promise<Problem | null>;
}) {
  const { card, path, begun, remove } = props;
  const { asking, setAsking, askRef, keepRef } = useAsking();
  const [problem, setProblem] = useState<Problem | null>(null);
  if (asking)
    return (
      <div className="shelf-does shelf-asking">
        <p>
          <span className="shelf-care">Delete “{card.title}” with its whole history, for good?</span>{' '}
          <button type="button" className="word" ref={keepRef} onClick={() => setAsking(false)}>
            Keep it
          </button>
          <button
            type="button"
            className="word"
            onClick={() => {
              void remove(card).then((why) => {
                if (why === null) return;
                setProblem(why);
                setAsking(false);
              });
            }}
          >
            Delete it
          </button>
        </p>
      </div>
    );
  const of = `: ${card.title}`;
  return (
    <div className="shelf-does">
      <p>
        <span>
          Begun {begun} from {card.file}
        </span>
        <a href={`${path}/history`} aria-label={`History${of}`}>
          History
        </a>
        <a href={`${buildUrl(card.id)}/whole.zip`} download aria-label={`Take it out as one file${of}`}>
          Take it out
        </a>
        <button
          type="button"
          className="word"
          ref={askRef}
          onClick={() => {
            setProblem(null);
            setAsking(true);
          }}
          aria-label={`Delete${of}`}
        >
          Delete
        </button>
      </p>
      {problem !== null && <ProblemView problem={problem} />}
    </div>
  );
}
