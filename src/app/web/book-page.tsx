// One build: the running head, the book, and the plate beside it.
import { useEffect, useMemo, useState } from 'react';
import type { BuildState, Computing } from '../api/api.ts';
import type { FigureData } from '../api/figure-codec.ts';
import { BookView } from './book-view.tsx';
import { byChapter, DecisionLine, OFFER_CHAPTER, OfferNote } from './chapter-notes.tsx';
import { Colophon } from './colophon.tsx';
import { useControlLinks } from './control-link.ts';
import { KitLine } from './kit-line.tsx';
import { MoreLine } from './more-line.tsx';
import { MovingSeams } from './moving-context.tsx';
import { placesOf } from './places-of.ts';
import { Plate } from './plate.tsx';
import { ProblemView } from './problem-view.tsx';
import { type Places, type Reader, ReaderContext } from './reader.ts';
import { ReaderLine } from './reader-line.tsx';
import { RunningHead } from './running-head.tsx';
import { computingWords, contentsOf, standingsOf } from './standings.ts';
import { DropSheet, useTakeModel } from './take-model.tsx';
import { TitleField } from './title-field.tsx';
import { type LiveBuild, useBuild } from './use-build.ts';
import { useCurrentChapter, useCurrentMap } from './use-current-chapter.ts';
import { useFigureData } from './use-figure.ts';
import { usePicking } from './use-picking.ts';
import { usePreferences } from './use-preferences.ts';
import { useUndoKeys } from './use-undo-keys.ts';
import { useWideWindow } from './use-wide-window.ts';
import { useWorkshopKnown } from './use-workshop-known.ts';

export function BookPage({ id }: { id: string }) {
  const live = useBuild(id);
  const { state, computing } = live;
  const taking = useTakeModel();
  const [preferences, change] = usePreferences();
  const [held, setHeld] = useState<string | null>(null);
  const wide = useWideWindow();
  const current = useCurrentChapter(state?.text ?? null);
  const along = useCurrentMap(state?.text ?? null);
  const picking = usePicking(live.editing);
  const follow = useControlLinks(state?.text != null);
  const [seam, hearOfSeam] = useState(NOT_MOVING);
  const hasPlate = wide || picking.now !== null || seam.isDragged;
  const figure = useFigureData(hasPlate || seam.isPrepared ? id : null, state?.figureTurn ?? 0);
  const workshop = useWorkshopKnown();
  const pieces = useMemo(() => new Set(figure?.parts.map((part) => part.id) ?? []), [figure]);
  const { places, found, facing } = usePlaces(state?.text ?? null, wide ? figure : null);
  useUndoKeys(live.step);
  useEffect(() => {
    document.title = state === null ? 'Helmwright' : `${state.build.name} – Helmwright`;
  }, [state]);
  const reader = useMemo<Reader>(
    () => ({
      measure: preferences.measure,
      editing: live.editing,
      holding: wide ? { ids: pieces, held, hold: setHeld } : null,
      picking,
      places,
      workshop,
    }),
    [preferences.measure, live.editing, pieces, held, wide, picking, places, workshop],
  );
  if (state === null || live.removed) return <Unopened live={live} />;
  return (
    <ReaderContext value={reader}>
      <MovingSeams editing={live.editing} outside={figure?.outside ?? null} heard={hearOfSeam}>
        <a className="skip" href="#book">
          Skip to the book
        </a>
        <RunningHead contents={contentsOf(state, computing)} current={current} live={live} follow={follow} />
        <div className={wide ? 'spread' : 'spread spread-single'}>
          <main className="left-page" id="book" tabIndex={-1}>
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
                standings={standingsOf(state, computing ?? (live.sending ? TAKING_OVER : null))}
                title={<LiveTitle state={state} live={live} />}
                front={
                  <>
                    <ReaderLine preferences={preferences} change={change} measures="with measures" />
                    {isWhole(state) && (
                      <p className="reader-line">
                        When it is as you want it, <a href="#kit">take the kit with you</a>: pieces to print, the plan,
                        and this book.
                      </p>
                    )}
                  </>
                }
                heads={byChapter(state.text.chapters, ({ name, decisions }) =>
                  decisions.length === 0 || state.stale.includes(name) ? null : (
                    <DecisionLine decisions={decisions} follow={follow} />
                  ),
                )}
                notes={byChapter(state.text.chapters, ({ name }) =>
                  name !== OFFER_CHAPTER || state.offers.length === 0
                    ? null
                    : state.offers.map((offer) => <OfferNote key={offer.path} offer={offer} editing={live.editing} />),
                )}
                ends={isWhole(state) ? { printing: <KitLine id={id} title={state.build.name} /> } : {}}
              />
            )}
            {state.text !== null && (
              <Colophon text={state.text}>
                <MoreLine id={id} title={state.build.name} />
              </Colophon>
            )}
          </main>
          {hasPlate && (
            <Plate
              kind={wide ? 'page' : 'sheet'}
              data={figure}
              is={state.figureIs}
              picking={picking}
              level={state.build.model.level.levelPoints ?? null}
              places={{ all: found, raised: places?.raised ?? null, facing }}
              drawings={state.drawings}
              chapter={current}
              along={along}
              held={held}
              stale={state.stale.some((name) => name !== 'printing')}
              measure={preferences.measure}
            />
          )}
        </div>
        <DropSheet taking={taking} />
      </MovingSeams>
    </ReaderContext>
  );
}

const NOT_MOVING = { isPrepared: false, isDragged: false };

/** Before the server has answered nothing is computed yet, and nothing was stopped. */
const TAKING_OVER: Computing = { chapter: '', fraction: 0, doing: '' };

function LiveTitle({ state, live }: { state: BuildState; live: LiveBuild }) {
  const { editing } = live;
  const name = editing.valueAt('name');
  const problem = editing.problemAt('name');
  return (
    <TitleField
      title={typeof name === 'string' ? name : state.build.name}
      problem={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      onSet={(title) => editing.set('name', title, [])}
    />
  );
}

/** The places of findings, which of them is lifted out, and which the figure was last asked to turn to. */
function usePlaces(text: BuildState['text'], figure: FigureData | null) {
  const [raised, setRaised] = useState<string | null>(null);
  const [facing, setFacing] = useState<{ readonly letter: string } | null>(null);
  const found = useMemo(() => placesOf(text, figure), [text, figure]);
  const places = useMemo<Places | null>(() => {
    if (figure === null) return null;
    const letters = new Map(found.map(({ finding, letter }) => [finding, letter]));
    return {
      letterOf: (finding) => letters.get(finding),
      raised,
      raise: setRaised,
      show: (letter) => {
        setRaised(letter);
        setFacing({ letter });
      },
    };
  }, [figure, found, raised]);
  return { places, found, facing };
}

function Unopened({ live }: { live: LiveBuild }) {
  return (
    <main className="builds">
      <header className="front">
        <p className="imprint">
          <a href="/">To the shelf</a>
        </p>
        {live.removed ? (
          <>
            <h1>Taken off the shelf</h1>
            <p>This book was deleted in another window.</p>
          </>
        ) : live.problem === null ? (
          <p className="quiet" role="status">
            {live.lost ? 'The program does not answer; trying again.' : 'Opening the book.'}
          </p>
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

/** Before the first chapter has been computed there is a title and what is being done. */
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
              : 'This book is being computed; each chapter appears as soon as it is known.'}
          </p>
          {computing !== null && <p className="blank-doing">{computingWords(computing)}.</p>}
        </div>
      </header>
    </article>
  );
}

/** Every chapter is computed: only then there is a kit. */
function isWhole({ text, stale }: BuildState): boolean {
  return text !== null && stale.length === 0 && text.chapters.every(({ state }) => state === 'computed');
}
