// The figure in React: fetched when it has changed, mounted when its code is there, told what to show.
import { useEffect, useMemo, useRef, useState } from 'react';
import { applyTransform, invertTransform } from '../../mesh/transform.ts';
import type { BuildState } from '../api/api.ts';
import { decodeFigure, type FigureData } from '../api/figure-codec.ts';
import type { Figure } from './figure.ts';
import type { ShownMark } from './figure-marks.ts';
import type { FoundPlace } from './places-of.ts';
import type { Point } from './reader.ts';
import { fetchFigure } from './server-calls.ts';
import type { PickingState } from './use-picking.ts';

/** Fetches the figure whenever its turn rises; keeps the old one until the new one is there. `id` null: nobody looks at it. */
export function useFigureData(id: string | null, turn: number): FigureData | null {
  const [data, setData] = useState<FigureData | null>(null);
  useEffect(() => {
    if (turn === 0 || id === null) return;
    let wanted = true;
    void fetchFigure(id).then((answer) => {
      if (wanted && answer.ok && answer.value.byteLength > 0) setData(decodeFigure(answer.value));
    });
    return () => {
      wanted = false;
    };
  }, [id, turn]);
  return data;
}

interface Marking {
  readonly shows: string;
  readonly chapter: string;
  /** File space, mm; null when none are being picked. */
  readonly picked: readonly Point[] | null;
  readonly level: readonly Point[] | null;
  readonly places: readonly FoundPlace[];
  readonly raised: string | null;
}

const NO_MARKS: readonly ShownMark[] = [];

/** While picking the places so far. Else those of the chapter's findings and the one that is raised; at the model as it came what was
 *  mended, at the model the places that were picked before. */
export function useMarks(data: FigureData | null, marking: Marking): readonly ShownMark[] {
  const { shows, chapter, picked, level, places, raised } = marking;
  return useMemo(() => {
    if (data === null) return NO_MARKS;
    if (picked !== null) return pointMarks(data, picked);
    const found = places.filter(
      (place) => place.letter === raised || (place.chapter === chapter && shows !== 'as-read'),
    );
    return [
      ...found.map(({ letter, finding: { severity, where }, at }): ShownMark => {
        const piece = where.piece === undefined ? {} : { piece: where.piece };
        return { id: letter, name: '', at, tone: severity === 'note' ? 'so' : 'care', ...piece };
      }),
      ...(shows === 'model' && level !== null ? pointMarks(data, level) : []),
      ...(shows === 'as-read' ? mendMarks(data) : []),
    ];
  }, [data, shows, chapter, picked, level, places, raised]);
}

function pointMarks({ toFile }: FigureData, points: readonly Point[]): readonly ShownMark[] {
  if (toFile === null) return NO_MARKS;
  const toFigure = invertTransform(toFile);
  return points.map((point, index) => ({
    id: String(index + 1),
    name: '',
    at: applyTransform(toFigure, point),
    tone: 'yours',
  }));
}

function mendMarks({ asRead }: FigureData): readonly ShownMark[] {
  return (asRead?.marks ?? []).map(({ number, name, atMm }) => ({ id: String(number), name, at: atMm, tone: 'so' }));
}

/** Of the longest side: a click that was made twice is no second place. */
const LEAST_APART = 0.02;

interface Showing {
  readonly shows: string;
  readonly apart: number;
  readonly held: string | null;
  readonly marks: readonly ShownMark[];
  readonly raised: string | null;
  readonly is: BuildState['figureIs'];
  /** A mark to be turned to; a new object each time. */
  readonly facing: { readonly letter: string } | null;
  readonly picking: PickingState;
}

/** 'failed': the browser cannot draw it. */
export type Mounting = 'waiting' | 'drawn' | 'failed';

/** Mounts the figure when its code and data are there. A new figure takes the old one's place without a gap, turned as it was. */
export function useFigure(
  room: React.RefObject<HTMLDivElement | null>,
  data: FigureData | null,
  showing: Showing,
): Mounting {
  const [figure, setFigure] = useState<Figure | null>(null);
  const [failed, setFailed] = useState(false);
  const latest = useRef(showing);
  latest.current = showing;
  const mounted = useRef<{ figure: Figure; data: FigureData } | null>(null);
  useEffect(() => {
    if (data === null) return;
    let wanted = true;
    import('./figure.ts')
      .then(({ mountFigure }) => {
        const element = room.current;
        if (!wanted || element === null) return;
        const before = mounted.current;
        const { shows: chapter, apart, is } = latest.current;
        // Before there is a shell the model stands as its file has it: another view.
        const isSameSpace = before !== null && (before.data.scale === null) === (data.scale === null);
        const view = isSameSpace ? before.figure.view() : null;
        const next = mountFigure(element, data, {
          theme: themeNow(),
          chapter,
          apart,
          view,
          is: is === 'draft' ? 'draft' : 'whole',
        });
        before?.figure.dispose();
        mounted.current = { figure: next, data };
        setFigure(next);
      })
      .catch(() => setFailed(true));
    return () => {
      wanted = false;
    };
  }, [room, data]);
  useEffect(
    () => () => {
      mounted.current?.figure.dispose();
      mounted.current = null;
    },
    [],
  );
  const { shows, apart, held, marks, raised, facing, picking } = showing;
  useEffect(() => figure?.setChapter(shows), [figure, shows]);
  useEffect(() => figure?.setApart(apart), [figure, apart]);
  useEffect(() => figure?.hold(held), [figure, held]);
  useEffect(() => figure?.setMarks(marks), [figure, marks]);
  useEffect(() => figure?.raise(raised), [figure, raised]);
  useEffect(() => {
    if (facing !== null) figure?.face(facing.letter);
  }, [figure, facing]);
  usePlacesPicked({ room, figure, data, picking });
  useTheme(figure);
  return failed ? 'failed' : figure === null ? 'waiting' : 'drawn';
}

function usePlacesPicked(given: {
  readonly room: React.RefObject<HTMLDivElement | null>;
  readonly figure: Figure | null;
  readonly data: FigureData | null;
  readonly picking: PickingState;
}): void {
  const { room, figure, data, picking } = given;
  const isPicking = picking.now !== null;
  const { add } = picking;
  useEffect(() => {
    const toFile = data?.toFile ?? null;
    if (figure === null || !isPicking || toFile === null) return;
    const leastApartMm = LEAST_APART * Math.max(...data!.sizeMm) * Math.hypot(toFile[0]!, toFile[1]!, toFile[2]!);
    figure.point((at) => add(applyTransform(toFile, at), leastApartMm));
    room.current?.focus({ preventScroll: true });
    return () => figure.point(null);
  }, [room, figure, data, isPicking, add]);
}

function useTheme(figure: Figure | null): void {
  useEffect(() => {
    if (figure === null) return;
    const look = (): void => figure.setTheme(themeNow());
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const paper = new MutationObserver(look);
    paper.observe(document.documentElement, { attributes: true, attributeFilter: ['data-paper'] });
    dark.addEventListener('change', look);
    return () => {
      paper.disconnect();
      dark.removeEventListener('change', look);
    };
  }, [figure]);
}

/** Where the system sets the colours its own choice counts, not the reader's. */
function themeNow(): 'light' | 'dark' {
  const { paper } = document.documentElement.dataset;
  const forced = matchMedia('(forced-colors: active)').matches;
  if (!forced && (paper === 'light' || paper === 'dark')) return paper;
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
}
