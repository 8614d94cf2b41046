// The figure in React: fetched when it has changed, mounted when its code is there, told what to show.
import { useEffect, useMemo, useRef, useState } from 'react';
import type { Plane } from '../../geometry/plane.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import { applyTransform, invertTransform, type Transform } from '../../mesh/transform.ts';
import type { BuildState } from '../api/api.ts';
import { decodeFigure, type FigureData } from '../api/figure-codec.ts';
import type { Figure } from './figure.ts';
import type { ShownMark } from './figure-marks.ts';
import type { FoundPlace } from './places-of.ts';
import { pulledPlane } from './pulled-plane.ts';
import type { Moving, Point } from './reader.ts';
import { fetchFigure } from './server-calls.ts';
import type { SurfaceMap } from './surface-maps.ts';
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
  /** The figure's space, mm; null when none are being picked. */
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
    if (picked !== null) return numbered(picked);
    const found = places.filter(
      (place) => place.letter === raised || (place.chapter === chapter && shows !== 'as-read'),
    );
    return [
      ...found.map(({ letter, finding, at }): ShownMark => {
        const { piece } = finding.where ?? {};
        const tone = 'severity' in finding && finding.severity === 'note' ? 'so' : 'care';
        return { id: letter, name: '', at, tone, ...(piece === undefined ? {} : { piece }) };
      }),
      ...(chapter === 'pieces' && shows !== 'as-read' && shows !== 'printing' ? nameMarks(data) : []),
      ...(shows === 'model' && level !== null ? pointMarks(data, level) : []),
      ...(shows === 'as-read' ? mendMarks(data) : []),
    ];
  }, [data, shows, chapter, picked, level, places, raised]);
}

function nameMarks({ named = [] }: FigureData): readonly ShownMark[] {
  return named.map(({ of, name, says, atMm, piece }) => ({
    id: name,
    name: says,
    at: atMm,
    tone: of === 'seam' ? 'seam' : 'yours',
    piece,
  }));
}

function pointMarks({ toFile }: FigureData, points: readonly Point[]): readonly ShownMark[] {
  if (toFile === null) return NO_MARKS;
  const toFigure = invertTransform(toFile);
  return numbered(points.map((point) => applyTransform(toFigure, point)));
}

function numbered(points: readonly Point[]): readonly ShownMark[] {
  return points.map((at, index) => ({ id: String(index + 1), name: '', at, tone: 'yours' }));
}

function mendMarks({ asRead }: FigureData): readonly ShownMark[] {
  return (asRead?.marks ?? []).map(({ number, name, atMm }) => ({ id: String(number), name, at: atMm, tone: 'so' }));
}

/** From the figure's space to the one in which places are kept: that of the file for points, model space for what is asked of seams. */
export function spaceOf({ toFile, scale }: FigureData, kind: 'points' | 'places'): Transform | null {
  if (kind === 'points') return toFile as Transform | null;
  return scale === null ? null : [1 / scale, 0, 0, 0, 1 / scale, 0, 0, 0, 1 / scale, 0, 0, 0];
}

/** Of the longest side: a place nearer to the one before is no further step along a line. */
const LEAST_STEP = 0.005;
/** Of the longest side: a click that was made twice is no second place. */
const LEAST_APART = 0.02;

interface Showing {
  readonly shows: string;
  readonly map: SurfaceMap;
  readonly apart: number;
  readonly held: string | null;
  readonly marks: readonly ShownMark[];
  readonly raised: string | null;
  readonly is: BuildState['figureIs'];
  /** A mark to be turned to; a new object each time. */
  readonly facing: { readonly letter: string } | null;
  readonly picking: PickingState;
  readonly moving: Moving;
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
        const { shows: chapter, map, apart, is } = latest.current;
        // Before there is a shell the model stands as its file has it: another view.
        const isSameSpace = before !== null && (before.data.scale === null) === (data.scale === null);
        const view = isSameSpace ? before.figure.view() : null;
        const next = mountFigure(element, data, {
          theme: themeNow(),
          chapter,
          map,
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
  const { shows, map, apart, held, marks, raised, facing, picking, moving } = showing;
  useEffect(() => figure?.setChapter(shows), [figure, shows]);
  useEffect(() => figure?.setMap(map), [figure, map]);
  useEffect(() => figure?.setApart(apart), [figure, apart]);
  useEffect(() => figure?.hold(held), [figure, held]);
  useEffect(() => figure?.setMarks(marks), [figure, marks]);
  useEffect(() => figure?.raise(raised), [figure, raised]);
  useEffect(() => {
    if (facing !== null) figure?.face(facing.letter);
  }, [figure, facing]);
  usePlacesPicked({ room, figure, data, picking });
  useGrip({ room, figure, moving });
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
  const kind = picking.now?.span.s ?? null;
  const { add } = picking;
  useEffect(() => {
    const toSpan = data === null || kind === null ? null : spaceOf(data, kind);
    if (figure === null || toSpan === null) return;
    const share = kind === 'places' ? LEAST_STEP : LEAST_APART;
    const leastApartMm = share * Math.max(...data!.sizeMm) * Math.hypot(toSpan[0]!, toSpan[1]!, toSpan[2]!);
    figure.point((at, normal) => add(applyTransform(toSpan, at), normal, leastApartMm));
    room.current?.focus({ preventScroll: true });
    return () => figure.point(null);
  }, [room, figure, data, kind, add]);
}

/** The seam that is being moved is drawn in the figure; where it may be dragged, it is. */
function useGrip({
  room,
  figure,
  moving,
}: {
  readonly room: React.RefObject<HTMLDivElement | null>;
  readonly figure: Figure | null;
  readonly moving: Moving;
}): void {
  const { now } = moving;
  const latest = useRef(moving);
  latest.current = moving;
  /** Where the plane stood when it was taken hold of. */
  const from = useRef<Plane | null>(null);
  useEffect(() => {
    if (figure === null) return;
    if (now === null || now.line === null) return figure.setGrip(null);
    const { normal } = from.current ?? now.plane;
    figure.setGrip({
      steps: now.line.steps,
      normal,
      onPull: ({ at, mm, how, isEnd }) => {
        const { now: stands, move } = latest.current;
        if (stands === null) return;
        from.current ??= stands.plane;
        const middle: Vec3 = [0, 0, stands.span.heightMm / 2];
        move(stands.span, pulledPlane(from.current, { at, mm, how, middle }));
        // let go of it stands where it is, until it is set or given back
        if (isEnd) from.current = null;
      },
      onStep: ({ at, mm, how }) => {
        const { now: stands, move } = latest.current;
        if (stands === null) return;
        const middle: Vec3 = [0, 0, stands.span.heightMm / 2];
        move(stands.span, pulledPlane(stands.plane, { at, mm, how, middle }));
      },
      onEnd: (how) => {
        from.current = null;
        if (how === 'set') latest.current.set();
        else latest.current.giveUp();
      },
    });
  }, [figure, now]);
  const isDragged = now?.isDragged === true;
  useEffect(() => {
    if (isDragged) room.current?.focus({ preventScroll: true });
  }, [room, isDragged]);
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
