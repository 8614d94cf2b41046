// Picking places of the model: how many there are so far, and what becomes of them when there are enough.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { AskedSeam, ClearArea, SurfacePoint } from '../../workshop/process/asked-seams.ts';
import { addEntry } from './list-entries.ts';
import type { Editing, Picking, PlacesSpan, Point, PointsSpan } from './reader.ts';

export interface PickingState extends Picking {
  /** One more place, in the space of what is picked, mm, no nearer to the others than that; the last one sets the value. */
  add(point: Point, normal: Point, leastApartMm: number): void;
  takeBack(): void;
  /** Why the last place was not taken, or null. */
  readonly says: string | null;
}

/** Escape gives up and Backspace takes the last place back, wherever the focus is. */
export function usePicking(editing: Editing): PickingState {
  const [now, setNow] = useState<Picking['now']>(null);
  const [says, setSays] = useState<string | null>(null);
  const latest = useRef({ now, editing });
  latest.current = { now, editing };
  const put = useCallback((next: Picking['now'], words: string | null = null) => {
    latest.current.now = next;
    setNow(next);
    setSays(words);
  }, []);
  const begin = useCallback((span: PointsSpan | PlacesSpan) => put({ span, points: [], normals: [] }), [put]);
  const giveUp = useCallback(() => put(null), [put]);
  const takeBack = useCallback(() => {
    const { now: at } = latest.current;
    if (at !== null) put({ ...at, points: at.points.slice(0, -1), normals: at.normals.slice(0, -1) });
  }, [put]);
  const finish = useCallback(() => {
    const { now: at, editing: edits } = latest.current;
    if (at === null || at.span.s !== 'places' || at.points.length < at.span.least) return;
    put(null);
    addEntry(edits, at.span.path, entryOf(at.span, at.points, at.normals), at.span.follows);
  }, [put]);
  const add = useCallback(
    (point: Point, normal: Point, leastApartMm: number) => {
      const { now: at } = latest.current;
      if (at === null) return;
      const points = [...at.points, point];
      const normals = [...at.normals, normal];
      if (at.span.s === 'places') {
        const last = at.points.at(-1);
        if (last !== undefined && Math.hypot(...minus(point, last)) < leastApartMm)
          put(at, 'That is too near to the one before; point farther off.');
        else put({ ...at, points, normals });
        if (points.length === at.span.most) finish();
        return;
      }
      if (!spreadOut(points, leastApartMm))
        put(at, 'That is in one line with the others or too near to them; point beside it.');
      else if (points.length < at.span.count) put({ ...at, points, normals });
      else {
        put(null);
        latest.current.editing.set(at.span.path, points, at.span.follows);
      }
    },
    [put, finish],
  );
  const active = now !== null;
  useEffect(() => {
    if (!active) return;
    const onKey = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.target instanceof HTMLInputElement) return;
      if (event.key === 'Escape') giveUp();
      else if (event.key === 'Backspace') takeBack();
      else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [active, giveUp, takeBack]);
  return useMemo(
    () => ({ now, says, begin, finish, giveUp, add, takeBack }),
    [now, says, begin, finish, giveUp, add, takeBack],
  );
}

/** The seam or the area that the places make. */
function entryOf(span: PlacesSpan, points: readonly Point[], normals: readonly Point[]): AskedSeam | ClearArea {
  const marks = points.map((atMm, index): SurfacePoint => ({ atMm: toTuple(atMm), normal: toTuple(normals[index]!) }));
  return span.makes === 'seam'
    ? { name: span.name, points: marks, normal: null, within: [] }
    : { name: span.name, outline: marks };
}

function toTuple(point: Point): [number, number, number] {
  return [point[0], point[1], point[2]];
}

/** Smallest height of the triangle over its longest side, at least this. */
const LEAST_SPREAD = 0.04;

/** Two places are apart; three do not lie in one line, so that they tell a plane. */
export function spreadOut(points: readonly Point[], leastApartMm: number): boolean {
  const [a, b, c] = points;
  if (a === undefined || b === undefined) return true;
  const ab = minus(b, a);
  if (c === undefined) return Math.hypot(...ab) > leastApartMm;
  const ac = minus(c, a);
  const longest = Math.max(Math.hypot(...ab), Math.hypot(...ac), Math.hypot(...minus(c, b)));
  const twiceArea = Math.hypot(
    ab[1] * ac[2] - ab[2] * ac[1],
    ab[2] * ac[0] - ab[0] * ac[2],
    ab[0] * ac[1] - ab[1] * ac[0],
  );
  return longest > 0 && twiceArea / longest >= LEAST_SPREAD * longest;
}

function minus(p: Point, q: Point): Point {
  return [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
}
