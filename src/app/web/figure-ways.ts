// The thin broken lines of an exploded drawing: from where two pieces touch to where each has been drawn out to.
import type { FigurePart } from '../api/figure-codec.ts';

export interface Way {
  readonly one: number;
  readonly other: number;
  /** Where both pieces touch, model space. */
  readonly at: readonly [number, number, number];
}

/** Up to two lines for each pair of pieces that share a seam: at the two points of it that are farthest from each other. */
export function waysBetween(parts: readonly FigurePart[]): readonly Way[] {
  const holders = new Map<string, { at: readonly [number, number, number]; parts: Set<number> }>();
  for (const [index, { seams }] of parts.entries()) {
    for (let i = 0; i + 2 < seams.length; i += 3) {
      const at = [seams[i]!, seams[i + 1]!, seams[i + 2]!] as const;
      const key = at.map((c) => Math.round(c * 10)).join(' ');
      const known = holders.get(key);
      if (known === undefined) holders.set(key, { at, parts: new Set([index]) });
      else known.parts.add(index);
    }
  }
  const shared = new Map<string, { one: number; other: number; points: (readonly [number, number, number])[] }>();
  for (const { at, parts: touching } of holders.values()) {
    const sorted = [...touching].sort((a, b) => a - b);
    if (sorted.length !== 2) continue;
    const [one, other] = sorted as [number, number];
    const key = `${one} ${other}`;
    const known = shared.get(key);
    if (known === undefined) shared.set(key, { one, other, points: [at] });
    else known.points.push(at);
  }
  return [...shared.values()].flatMap(({ one, other, points }) =>
    farthestTwo(points).map((at) => ({ one, other, at })),
  );
}

type Point = readonly [number, number, number];

/** Not exactly the farthest, but far: the farthest from the first, and the farthest from that. */
function farthestTwo(points: readonly Point[]): readonly Point[] {
  const farFrom = (from: Point): Point =>
    points.reduce((best, p) => (away(p, from) > away(best, from) ? p : best), from);
  const one = farFrom(points[0]!);
  const other = farFrom(one);
  return one === other ? [one] : [one, other];
}

function away(a: Point, b: Point): number {
  return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2;
}
