// The history of one book: by day, every change in words, which version stands, and bringing an older one back.
import { useEffect, useState } from 'react';
import type { HistoryEntry } from '../api/api.ts';
import { type HistoryLine, historyDays } from './history-lines.ts';
import { besidePath } from './house-calls.ts';
import { dayWords, fullDayWords, hourWords } from './house-days.ts';
import { HouseHead, LostLine } from './house-head.tsx';
import { unbroken } from './house-words.ts';
import { ProblemView } from './problem-view.tsx';
import { ReaderLine } from './reader-line.tsx';
import { StepButtons } from './step-buttons.tsx';
import { useHistory } from './use-history.ts';
import { usePreferences } from './use-preferences.ts';
import { useUndoKeys } from './use-undo-keys.ts';

export function HistoryPage({ id }: { id: string }) {
  const live = useHistory(id);
  const { title, entries, problem, removed, lost, step, bringBack } = live;
  const [preferences, change] = usePreferences();
  const [said, setSaid] = useState('');
  useUndoKeys(step);
  useEffect(() => {
    document.title = title === null ? 'History – Helmwright' : `History of ${title} – Helmwright`;
  }, [title]);
  const now = new Date();
  return (
    <>
      <HouseHead at={null}>
        <LostLine lost={lost && problem === null} />
        <StepButtons canUndo={live.canUndo} canRedo={live.canRedo} step={step} />
      </HouseHead>
      <main className="spread spread-single">
        <div className="left-page">
          <header className="front">
            <p className="imprint">
              <a href={`/builds/${encodeURIComponent(id)}`}>{title === null ? 'The book' : title}</a>
            </p>
            <h1>History</h1>
            <div className="standfirst">
              <p>
                Every change of this book since it was begun. What was undone is kept as well: any version can be read
                beside the book, or brought back, and that can be undone like any other change.
              </p>
            </div>
            <ReaderLine preferences={preferences} change={change} measures="without measures" />
            {problem !== null && <ProblemView problem={problem} />}
            {removed && <p className="history-removed">This book was taken off the shelf.</p>}
          </header>
          <p className="unseen" role="status">
            {said}
          </p>
          {entries === null && problem === null && <p className="quiet">Opening the history.</p>}
          {entries !== null &&
            historyDays(entries, (iso) => fullDayWords(iso, now)).map(({ at, lines }) => (
              <section key={at} className="history-day" aria-label={fullDayWords(at, now)}>
                <h2>
                  {dayWords(at, now)}
                  {dayWords(at, now) !== fullDayWords(at, now) && <span>{fullDayWords(at, now)}</span>}
                </h2>
                <ol className="history-lines" reversed>
                  {lines.map((line) => (
                    <LineView
                      key={line.entry.number}
                      id={id}
                      line={line}
                      bringBack={(entry) => {
                        bringBack(entry.number);
                        setSaid(`Version ${entry.number} stands again.`);
                      }}
                    />
                  ))}
                </ol>
              </section>
            ))}
        </div>
      </main>
    </>
  );
}

const PLACES: Readonly<Record<HistoryLine['place'], string>> = {
  stands: 'This is how the book stands.',
  line: '',
  undone: 'Undone',
  left: 'Left when undone',
};

function LineView(props: {
  readonly id: string;
  readonly line: HistoryLine;
  readonly bringBack: (entry: HistoryEntry) => void;
}) {
  const { id, line, bringBack } = props;
  const { entry, place, first } = line;
  const aside = place === 'undone' || place === 'left';
  return (
    <li value={entry.number} className={`history-line history-${place}`}>
      <span className="history-number" aria-hidden="true">
        {entry.number}
      </span>
      <time className="history-hour" dateTime={entry.madeAt}>
        {hourWords(entry.madeAt)}
      </time>
      <div className="history-words">
        {aside && first && <p className="history-place">{PLACES[place]}</p>}
        <p>{unbroken(entry.says)}</p>
        {place === 'stands' ? (
          <p className="history-place">{PLACES.stands}</p>
        ) : (
          <p className="house-words">
            <button
              type="button"
              className="word"
              aria-label={`Bring back version ${entry.number}: ${entry.says}`}
              onClick={() => bringBack(entry)}
            >
              Bring back
            </button>
            <a
              href={besidePath(id, `${id}@${entry.number}`)}
              aria-label={`Read beside the book: version ${entry.number}`}
            >
              Read beside the book
            </a>
          </p>
        )}
      </div>
    </li>
  );
}
