// The lines of seams as few straight strokes, each with its price: for the figure and for drawings.
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
