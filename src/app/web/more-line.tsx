// At the end of the book: what else can be done with it. A copy, its history, the whole of it as one file, its end.
import { useState } from 'react';
import type { Problem } from '../api/api.ts';
import { ProblemView } from './problem-view.tsx';
import { buildUrl, copyBuild, removeBuild } from './server-calls.ts';

type Doing = 'nothing' | 'copying' | 'asking' | 'deleting';

export function MoreLine({ id, title }: { id: string; title: string }) {
  const [doing, setDoing] = useState<Doing>('nothing');
  const [problem, setProblem] = useState<Problem | null>(null);
  const page = `/builds/${encodeURIComponent(id)}`;
  const copy = async (): Promise<void> => {
    setDoing('copying');
    setProblem(null);
    const answer = await copyBuild(id, { name: copyTitle(title) });
    if (answer.ok) location.assign(`/beside/${encodeURIComponent(id)}/${encodeURIComponent(answer.value.id)}`);
    else {
      setDoing('nothing');
      setProblem(answer.problem);
    }
  };
  const remove = async (): Promise<void> => {
    setDoing('deleting');
    setProblem(null);
    const answer = await removeBuild(id);
    if (answer.ok) location.assign('/');
    else {
      setDoing('nothing');
      setProblem(answer.problem);
    }
  };
  return (
    <div className="more-line">
      <p>
        To try another choice beside this one,{' '}
        <button type="button" className="word yours" disabled={doing !== 'nothing'} onClick={() => void copy()}>
          copy this book
        </button>
        {doing === 'copying' && <em role="status"> Copying</em>}: both are then read side by side. Every change is kept
        in <a href={`${page}/history`}>its history</a> and can be brought back. To keep it elsewhere, take{' '}
        <a href={`${buildUrl(id)}/whole.zip`} download>
          the model, the decisions and the history as one file
        </a>
        .
      </p>
      {doing === 'asking' || doing === 'deleting' ? (
        <p className="more-asks" role="alert">
          Deleting is final: the book goes with its whole history, and nothing brings it back but a file taken before.{' '}
          <button type="button" className="word yours" disabled={doing === 'deleting'} onClick={() => void remove()}>
            Delete “{title}” for good
          </button>{' '}
          or{' '}
          <button
            type="button"
            className="word yours"
            disabled={doing === 'deleting'}
            ref={(button) => button?.focus({ preventScroll: true })}
            onClick={() => setDoing('nothing')}
          >
            keep it
          </button>
          .
        </p>
      ) : (
        <p>
          No longer wanted?{' '}
          <button type="button" className="word yours" onClick={() => setDoing('asking')}>
            Delete it
          </button>
          ; you will be asked once more.
        </p>
      )}
      {problem !== null && <ProblemView problem={problem} />}
    </div>
  );
}

const MOST_LETTERS = 120;

/** "Keeper's helm, another choice"; a copy's copy does not say it twice. */
function copyTitle(title: string): string {
  const ending = ', another choice';
  return title.endsWith(ending) ? title : `${title.slice(0, MOST_LETTERS - ending.length)}${ending}`;
}
