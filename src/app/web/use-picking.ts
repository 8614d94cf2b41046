// Picking places of the model: how many there are so far, and what becomes of them when there are enough.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Editing, Picking, Point, PointsSpan } from './reader.ts';

export interface PickingState extends Picking {
  /** One more place, file space, mm, no nearer to the others than that; the last one sets the value. */
  add(point: Point, leastApartMm: number): void;
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
  const begin = useCallback((span: PointsSpan) => put({ span, points: [] }), [put]);
  const giveUp = useCallback(() => put(null), [put]);
  const takeBack = useCallback(() => {
    const { now: at } = latest.current;
    if (at !== null) put({ ...at, points: at.points.slice(0, -1) });
  }, [put]);
  const add = useCallback(
    (point: Point, leastApartMm: number) => {
      const { now: at } = latest.current;
      if (at === null) return;
      const points = [...at.points, point];
      if (!spreadOut(points, leastApartMm))
        put(at, 'That is in one line with the others or too near to them; point beside it.');
      else if (points.length < at.span.count) put({ ...at, points });
      else {
        put(null);
        latest.current.editing.set(at.span.path, points, at.span.follows);
      }
    },
    [put],
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
  return useMemo(() => ({ now, says, begin, giveUp, add, takeBack }), [now, says, begin, giveUp, add, takeBack]);
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
