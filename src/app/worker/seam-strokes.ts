// The lines of seams as few straight strokes, each with its price: for the figure and for drawings.
import type { SeamWeight, WeightedLine } from '../../documents/drawing/line-drawing.ts';
import type { SeamLine } from '../../workshop/process/pieces-record.ts';

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
export function seamStrokes({ points, price }: SeamLine): readonly SeamStroke[] {
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
/** Shorter stretches are drawn on with their neighbour: a line that changes more often reads as broken. */
const SHORTEST_RUN_MM = 5;

/** The line as runs of one weight each: what a pen can tell of the price. Cost: O(steps). */
export function weightedRuns({ points, price }: SeamLine): readonly WeightedLine[] {
  const runs: { from: number; to: number; weight: SeamWeight; lengthMm: number }[] = [];
  for (let i = 0; i < price.length; i++) {
    const weight = weightOf(price[i]!);
    const lengthMm = stepLength(points, i);
    const last = runs.at(-1);
    if (last === undefined || (last.weight !== weight && last.lengthMm >= SHORTEST_RUN_MM))
      runs.push({ from: i, to: i + 1, weight, lengthMm });
    else Object.assign(last, { to: i + 1, lengthMm: last.lengthMm + lengthMm });
  }
  const last = runs.at(-1);
  if (runs.length > 1 && last!.lengthMm < SHORTEST_RUN_MM) runs.splice(-2, 2, { ...runs.at(-2)!, to: last!.to });
  return runs.map(({ from, to, weight }) => ({ points: points.slice(from * 3, to * 3 + 3), weight }));
}

function weightOf(price: number): SeamWeight {
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
