// The running head: the way back to the shelf, the contents with how each chapter stands, and the line of work.
import type { MouseEvent } from 'react';
import { countWord } from '../../workshop/book/spans.ts';
import type { Computing } from '../api/api.ts';
import { type ContentsEntry, computingWords, decisionsOf } from './standings.ts';
import { StepButtons } from './step-buttons.tsx';
import type { LiveBuild } from './use-build.ts';

export function RunningHead(props: {
  readonly contents: readonly ContentsEntry[];
  readonly current: string;
  readonly live: LiveBuild;
  readonly follow: (event: MouseEvent<HTMLAnchorElement>) => void;
}) {
  const { contents, current, live, follow } = props;
  return (
    <header className="running-head">
      <a className="home" href="/" aria-label="Helmwright, to the shelf">
        Helmwright
      </a>
      <nav aria-label="Contents">
        <ol className="contents">
          {contents.map((entry, index) => (
            <li key={entry.name} className={`contents-${entry.tone}`}>
              <a href={entry.href} aria-current={entry.name === current ? 'location' : undefined} onClick={follow}>
                <span className="contents-number" aria-hidden="true">
                  {index + 1}
                </span>
                <span className="contents-title">{entry.title}</span>{' '}
                <span className="contents-says">
                  <span>{entry.says}</span>
                  {entry.more > 0 && <span className="contents-more"> and {entry.more} more</span>}
                </span>
              </a>
            </li>
          ))}
        </ol>
      </nav>
      <WorkLine live={live} />
      <Progress computing={live.computing} />
    </header>
  );
}

function WorkLine({ live }: { live: LiveBuild }) {
  const { state, computing, lost, step, cancel } = live;
  return (
    <div className="work-line">
      <p className="work-says">{workWords(live)}</p>
      {/* Progress by the percent would never stop talking: only the beginning and the end are read out. */}
      <p className="unseen" role="status">
        {lost ? 'The program does not answer.' : computing === null ? workWords(live) : 'Computing.'}
      </p>
      {computing !== null && (
        <button type="button" className="word" onClick={cancel}>
          Stop
        </button>
      )}
      <StepButtons canUndo={state?.canUndo === true} canRedo={state?.canRedo === true} step={step} />
      {state !== null && (
        <a className="word" href={`/builds/${encodeURIComponent(state.id)}/history`}>
          History
        </a>
      )}
    </div>
  );
}

function workWords(live: LiveBuild): string {
  const { state, computing, sending, lost, problem } = live;
  if (lost) return 'The program does not answer; trying again.';
  if (problem !== null) return problem.detail;
  if (computing !== null) return computingWords(computing);
  if (sending) return 'Taking over the change.';
  if (state === null) return 'Opening the book.';
  if (state.trouble !== null) return 'The computation did not end well.';
  if (state.stale.length > 0 || state.text === null) return 'Stopped; a change begins it again.';
  if (state.text.chapters.some((chapter) => chapter.state === 'refused')) return 'A chapter is refused; it says why.';
  const open = decisionsOf(state).length;
  if (open > 0) return `${capital(countWord(open))} ${open === 1 ? 'question is' : 'questions are'} open.`;
  return 'All is computed.';
}

function capital(word: string): string {
  return `${word[0]?.toUpperCase() ?? ''}${word.slice(1)}`;
}

function Progress({ computing }: { computing: Computing | null }) {
  const share = computing === null ? 0 : Math.min(1, Math.max(0.01, computing.fraction));
  return (
    <div
      className={computing === null ? 'progress progress-none' : 'progress'}
      aria-hidden="true"
      style={{ '--share': share } as React.CSSProperties}
    />
  );
}
