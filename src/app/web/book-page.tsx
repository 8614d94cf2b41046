// One build: the running head, the book, and the plate beside it.
import { useCallback, useEffect, useMemo, useState } from 'react';
import { BookView } from './book-view.tsx';
import { Colophon } from './colophon.tsx';
import { KitLine } from './kit-line.tsx';
import { Plate } from './plate.tsx';
import { ProblemView } from './problem-view.tsx';
import { type Reader, ReaderContext } from './reader.ts';
import { ReaderLine } from './reader-line.tsx';
import { RunningHead } from './running-head.tsx';
import { computingWords, contentsOf, standingsOf } from './standings.ts';
import { DropSheet, useTakeModel } from './take-model.tsx';
import { type LiveBuild, useBuild } from './use-build.ts';
import { useCurrentChapter } from './use-current-chapter.ts';
import { usePicking } from './use-picking.ts';
import { usePreferences } from './use-preferences.ts';
import { useUndoKeys } from './use-undo-keys.ts';
import { useWideWindow } from './use-wide-window.ts';

export function BookPage({ id }: { id: string }) {
  const live = useBuild(id);
  const { state, computing } = live;
  const taking = useTakeModel();
  const [preferences, change] = usePreferences();
  const [pieces, setPieces] = useState<ReadonlySet<string>>(new Set());
  const [held, setHeld] = useState<string | null>(null);
  const wide = useWideWindow();
  const current = useCurrentChapter(state?.text ?? null);
  const picking = usePicking(live.editing);
  useUndoKeys(live.step);
  useEffect(() => {
    document.title = state === null ? 'Helmwright' : `${state.build.name} – Helmwright`;
  }, [state]);
  const onPieces = useCallback((ids: readonly string[]) => setPieces(new Set(ids)), []);
  const reader = useMemo<Reader>(
    () => ({
      measure: preferences.measure,
      editing: live.editing,
      holding: wide ? { ids: pieces, held, hold: setHeld } : null,
      picking,
    }),
    [preferences.measure, live.editing, pieces, held, wide, picking],
  );
  if (state === null) return <Unopened live={live} />;
  return (
    <ReaderContext value={reader}>
      <RunningHead contents={contentsOf(state, computing)} current={current} live={live} />
      <main className={wide ? 'spread' : 'spread spread-single'}>
        <div className="left-page">
          {[state.trouble, taking.problem].map(
            (problem) =>
              problem !== null && (
                <div key={problem.detail} className="page-trouble">
                  <ProblemView problem={problem} />
                </div>
              ),
          )}
          {state.text === null ? (
            <BlankBook live={live} />
          ) : (
            <BookView
              text={state.text}
              drawings={state.drawings}
              standings={standingsOf(state, computing)}
              front={<ReaderLine preferences={preferences} change={change} measures="with measures" />}
              ends={{ printing: <KitLine id={id} title={state.build.name} /> }}
            />
          )}
          {state.text !== null && <Colophon text={state.text} />}
        </div>
        {(wide || picking.now !== null) && (
          <Plate
            kind={wide ? 'page' : 'sheet'}
            picking={picking}
            level={state.build.model.level.levelPoints ?? null}
            id={id}
            figureTurn={state.figureTurn}
            drawings={state.drawings}
            chapter={current}
            held={held}
            stale={state.stale.some((name) => name !== 'printing')}
            measure={preferences.measure}
            onPieces={onPieces}
          />
        )}
      </main>
      <DropSheet taking={taking} />
    </ReaderContext>
  );
}

function Unopened({ live }: { live: LiveBuild }) {
  return (
    <main className="builds">
      <header className="front">
        <p className="imprint">
          <a href="/">All builds</a>
        </p>
        {live.problem === null ? (
          <p className="quiet">{live.lost ? 'The program does not answer; trying again.' : 'Opening the book.'}</p>
        ) : (
          <>
            <h1>No such book</h1>
            <ProblemView problem={live.problem} />
          </>
        )}
      </header>
    </main>
  );
}

/** Before the first computation has ended there is a title and what is being done. */
function BlankBook({ live }: { live: LiveBuild }) {
  const { state, computing } = live;
  return (
    <article className="book">
      <header className="front">
        <p className="imprint">A workshop book</p>
        <h1>{state?.build.name}</h1>
        <div className="standfirst">
          <p>
            {computing === null
              ? 'Nothing has been computed yet.'
              : 'This book is being computed; its chapters appear when the first computation has ended.'}
          </p>
          {computing !== null && <p className="blank-doing">{computingWords(computing)}.</p>}
        </div>
      </header>
    </article>
  );
}
