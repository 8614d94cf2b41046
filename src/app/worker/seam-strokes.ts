// The lines of seams as few straight strokes, each with its price: for the figure and for drawings.
import type { WeightedLine } from '../../documents/drawing/line-drawing.ts';
import type { SeamPen } from '../../documents/drawing/seam-pens.ts';
import { SEAM_HIDING, type SeamHiding, type SeamLine } from '../../workshop/process/pieces-record.ts';

export interface SeamStroke {
  /** Both ends, xyz xyz. */
  readonly ends: readonly [number, number, number, number, number, number];
  /** 0 to 1, see SeamLine. */
  readonly price: number;
}

/** What is left out lies so near to its stroke, mm: less than a line is wide. */
const MOST_OFF_MM = 0.15;
/** A stroke's price differs so much from that of its first step at most. */
const MOST_PRICE_OFF = 0.06;
/** Steps under one stroke. */
const MOST_STEPS = 48;

/** Steps that run on almost straight and cost almost the same become one stroke. Cost: O(steps x steps under one stroke). */
export function seamStrokes({ points, price }: Pick<SeamLine, 'points' | 'price'>): readonly SeamStroke[] {
  const out: SeamStroke[] = [];
  for (let from = 0; from < price.length; ) {
    let to = from + 1;
    while (to < price.length && to - from < MOST_STEPS && Math.abs(price[to]! - price[from]!) < MOST_PRICE_OFF) {
      if (!isNearlyStraight(points, from, to + 1)) break;
      to++;
    }
    const [a, b] = [from * 3, to * 3];
    out.push({
      ends: [points[a]!, points[a + 1]!, points[a + 2]!, points[b]!, points[b + 1]!, points[b + 2]!],
      price: meanPrice(price, from, to),
    });
    from = to;
  }
  return out;
}

/** Below the first a seam is drawn fine, from the second on heavy. */
const WEIGHTS_FROM = { middle: 0.34, heavy: 0.64 } as const;
/** Shorter stretches are drawn on with their longer neighbour: a line that changes more often reads as broken. Three millimetres on a sheet that shows
 *  a helm from two sides. */
const SHORTEST_RUN_MM = 10;

interface PennedRun {
  readonly from: number;
  readonly to: number;
  readonly pen: SeamPen;
  readonly lengthMm: number;
}

/** A stretch of a seam's line under one pen, with the price of each of its steps. */
export interface PennedLine extends WeightedLine {
  readonly price: Float32Array;
}

/** The line as runs of one pen each: what a drawing can tell of the price and of what hides it. Cost: O(steps + runs^2). */
export function pennedRuns({ points, price, hiding }: SeamLine): readonly PennedLine[] {
  const runs: PennedRun[] = [];
  for (let i = 0; i < price.length; i++) {
    const pen = penOf(price[i]!, SEAM_HIDING[hiding[i]!]!);
    const lengthMm = stepLength(points, i);
    const last = runs.at(-1);
    if (last?.pen === pen) runs[runs.length - 1] = together(last, { ...last, from: i, to: i + 1, lengthMm });
    else runs.push({ from: i, to: i + 1, pen, lengthMm });
  }
  return longRuns(runs).map(({ from, to, pen }) => ({
    points: points.slice(from * 3, to * 3 + 3),
    price: price.slice(from, to),
    pen,
  }));
}

/** The shortest goes to its longer neighbour, until none is too short. */
function longRuns(all: readonly PennedRun[]): PennedRun[] {
  const runs = [...all];
  while (runs.length > 1) {
    const at = runs.reduce((least, run, i) => (run.lengthMm < runs[least]!.lengthMm ? i : least), 0);
    if (runs[at]!.lengthMm >= SHORTEST_RUN_MM) break;
    const before = runs[at - 1]?.lengthMm ?? -1;
    const after = runs[at + 1]?.lengthMm ?? -1;
    const first = before > after ? at - 1 : at;
    const pen = (before > after ? runs[at - 1]! : runs[at + 1]!).pen;
    runs.splice(first, 2, { ...together(runs[first]!, runs[first + 1]!), pen });
    const beside = [first, first - 1].find((i) => runs[i] !== undefined && runs[i + 1]?.pen === runs[i]!.pen);
    if (beside !== undefined) runs.splice(beside, 2, together(runs[beside]!, runs[beside + 1]!));
  }
  return runs;
}

function together(one: PennedRun, next: PennedRun): PennedRun {
  return { from: one.from, to: next.to, pen: one.pen, lengthMm: one.lengthMm + next.lengthMm };
}

function penOf(price: number, hiding: SeamHiding): SeamPen {
  if (hiding !== 'open') return hiding;
  return price >= WEIGHTS_FROM.heavy ? 'heavy' : price >= WEIGHTS_FROM.middle ? 'middle' : 'fine';
}

function stepLength(p: Float32Array, i: number): number {
  return Math.hypot(p[i * 3 + 3]! - p[i * 3]!, p[i * 3 + 4]! - p[i * 3 + 1]!, p[i * 3 + 5]! - p[i * 3 + 2]!);
}

function meanPrice(price: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += price[i]!;
  return sum / (to - from);
}

function isNearlyStraight(p: Float32Array, from: number, to: number): boolean {
  const a = from * 3;
  const dx = p[to * 3]! - p[a]!;
  const dy = p[to * 3 + 1]! - p[a + 1]!;
  const dz = p[to * 3 + 2]! - p[a + 2]!;
  const length2 = dx * dx + dy * dy + dz * dz;
  if (length2 === 0) return false;
  for (let i = from + 1; i < to; i++) {
    const x = p[i * 3]! - p[a]!;
    const y = p[i * 3 + 1]! - p[a + 1]!;
    const z = p[i * 3 + 2]! - p[a + 2]!;
    const share = Math.max(0, Math.min(1, (x * dx + y * dy + z * dz) / length2));
    if (Math.hypot(x - share * dx, y - share * dy, z - share * dz) > MOST_OFF_MM) return false;
  }
  return true;
}
