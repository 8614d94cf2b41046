// Lines of a separate path generator: points thinned, filled regions crossed by parallel lines, the nearest taken next.
import type { Point } from './move-clock.ts';

/** Points kept so that none of those left out is off by more than 0.02 mm (halving, not a cone). */
export function coarse(points: readonly Point[]): Point[] {
  const keep = new Set([0, points.length - 1]);
  const look = (from: number, to: number): void => {
    const [ax, ay] = points[from]!;
    const [bx, by] = points[to]!;
    const l = Math.hypot(bx - ax, by - ay);
    let [worst, off] = [-1, 0.02];
    for (let i = from + 1; i < to; i++) {
      const [x, y] = points[i]!;
      const d = l > 1e-9 ? Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / l : Math.hypot(x - ax, y - ay);
      if (d > off) [worst, off] = [i, d];
    }
    if (worst < 0) return;
    keep.add(worst);
    look(from, worst);
    look(worst, to);
  };
  look(0, points.length - 1);
  return [...keep].sort((a, b) => a - b).map((i) => points[i]!);
}

export function nearestIndex(points: readonly Point[], at: Point): number {
  let best = 0;
  for (let i = 1; i < points.length; i++)
    if (
      Math.hypot(points[i]![0] - at[0], points[i]![1] - at[1]) <
      Math.hypot(points[best]![0] - at[0], points[best]![1] - at[1])
    )
      best = i;
  return best;
}

/** Lines at 45 degrees one way or the other, chained to the nearest next end; a gap over two spacings is travelled. */
export function rasterPaths(region: readonly (readonly Point[])[], spacing: number, odd: boolean): Point[][] {
  const c = Math.SQRT1_2;
  const s = odd ? -c : c;
  const turned = region.map((loop) => loop.map(([x, y]): Point => [c * x + s * y, -s * x + c * y]));
  const back = ([u, v]: Point): Point => [c * u - s * v, s * u + c * v];
  const vs = turned.flat().map((p) => p[1]);
  const segments: [Point, Point][] = [];
  const rows = rowsOf(turned, Math.min(...vs) + spacing / 2, spacing);
  for (const [row, hits] of [...rows.entries()].sort(([a], [b]) => a - b)) {
    const v = Math.min(...vs) + spacing / 2 + row * spacing;
    hits.sort((a, b) => a - b);
    for (let i = 0; i + 1 < hits.length; i += 2) segments.push([back([hits[i]!, v]), back([hits[i + 1]!, v])]);
  }
  const paths: Point[][] = [];
  let at: Point = [0, 0];
  while (segments.length > 0) {
    let [best, flip, far] = [0, false, Infinity];
    for (const [i, [a, b]] of segments.entries()) {
      const da = Math.hypot(a[0] - at[0], a[1] - at[1]);
      const db = Math.hypot(b[0] - at[0], b[1] - at[1]);
      if (da < far) [best, flip, far] = [i, false, da];
      if (db < far) [best, flip, far] = [i, true, db];
    }
    const [a, b] = segments.splice(best, 1)[0]!;
    const pair: Point[] = flip ? [b, a] : [a, b];
    if (paths.length > 0 && far < 2 * spacing) paths.at(-1)!.push(...pair);
    else paths.push(pair);
    at = pair[1]!;
  }
  return paths;
}

/** Where each row v = from + k spacing meets the loops. */
function rowsOf(loops: readonly (readonly Point[])[], from: number, spacing: number): Map<number, number[]> {
  const rows = new Map<number, number[]>();
  for (const loop of loops)
    for (let i = 0; i < loop.length; i++) {
      const [p, q] = [loop[i]!, loop[(i + 1) % loop.length]!];
      const [low, high] = p[1] < q[1] ? [p[1], q[1]] : [q[1], p[1]];
      for (let k = Math.max(0, Math.floor((low - from) / spacing)); from + k * spacing <= high; k++) {
        const v = from + k * spacing;
        if (p[1] < v === q[1] < v) continue;
        const hit = p[0] + ((v - p[1]) / (q[1] - p[1])) * (q[0] - p[0]);
        const row = rows.get(k);
        if (row === undefined) rows.set(k, [hit]);
        else row.push(hit);
      }
    }
  return rows;
}
