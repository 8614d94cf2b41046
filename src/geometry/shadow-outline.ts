// The outline of a laid piece seen from above: where nothing else may lie on the bed.
import { QUIET_WORK, type Work } from '../base/work.ts';
import { bounds } from '../mesh/measure.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { type CellSet, cellBoundary } from './cell-boundary.ts';
import { edgeStrips } from './edge-strips.ts';

export interface ShadowOptions {
  /** Side of a cell, mm. */
  readonly cellMm: number;
  /** Smaller holes are filled, mm2: nothing would lie in them. */
  readonly leastHoleMm2: number;
}

export const SHADOW_DEFAULTS: ShadowOptions = { cellMm: 0.5, leastHoleMm2: 400 };

/** A loop is made straighter by less than this share of a cell; it was moved out by a whole one before. */
const STRAIGHTER = 0.9;

/** Loops (xy interleaved, mm) that enclose the projection of a closed mesh along z: outer ones counter-clockwise, holes clockwise. They lie outside of
 *  the true shadow, by 3 cells at most (1.5 mm), by about 1 mm in the mean. Space: that of the mesh. Cost: O(n + cells).
 *  Method: every touched cell, grown by one, its boundary, made straighter by Douglas & Peucker 1973; docs/methods/bed-packing.md. Weak: a gap in the
 *  shadow of less than 2 cells is closed. */
export function shadowOutline(
  mesh: Mesh,
  options: Partial<ShadowOptions> = SHADOW_DEFAULTS,
  work: Work = QUIET_WORK,
): Float64Array[] {
  const { cellMm, leastHoleMm2 } = { ...SHADOW_DEFAULTS, ...options };
  const { minMm, maxMm } = bounds(mesh);
  const origin = [minMm[0] - PAD * cellMm, minMm[1] - PAD * cellMm] as const;
  const wide = Math.floor((maxMm[0] - origin[0]) / cellMm) + 1 + PAD;
  const deep = Math.floor((maxMm[1] - origin[1]) / cellMm) + 1 + PAD;
  const touched = touchedCells(mesh, { origin, cellMm, wide, deep }, work);
  const loops: Float64Array[] = [];
  for (const corners of cellBoundary(grownByOne({ cells: touched, wide, deep }))) {
    const loop = Float64Array.from(corners, (c, i) => origin[i % 2 === 0 ? 0 : 1] + c * cellMm);
    const area = loopArea(loop);
    if (area < 0 && -area < leastHoleMm2) continue;
    loops.push(straighter(loop, STRAIGHTER * cellMm));
  }
  return loops;
}

/** Cells kept free round the shadow: one to grow into, one that stays empty. */
const PAD = 2;

interface Grid {
  readonly origin: readonly [number, number];
  readonly cellMm: number;
  readonly wide: number;
  readonly deep: number;
}

/** Triangles that look down lie in the shadow of those that look up. */
function touchedCells({ positions, triangles }: Mesh, { origin, cellMm, wide, deep }: Grid, work: Work): Uint8Array {
  const cells = new Uint8Array(wide * deep);
  const points = new Float64Array((positions.length / 3) * 2);
  for (let i = 0, j = 0; i < positions.length; i += 3, j += 2) {
    points[j] = (positions[i]! - origin[0]) / cellMm;
    points[j + 1] = (positions[i + 1]! - origin[1]) / cellMm;
  }
  const from = new Int32Array(deep).fill(wide);
  const to = new Int32Array(deep).fill(-1);
  const widen = (row: number, first: number, last: number): void => {
    if (first < from[row]!) from[row] = first;
    if (last > to[row]!) to[row] = last;
  };
  for (let t = 0; t < triangles.length; t += 3) {
    if (t % 98304 === 0) work.tick(t / triangles.length, 'outlining a piece');
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    const [ax, ay] = [points[2 * a]!, points[2 * a + 1]!];
    const [bx, by] = [points[2 * b]!, points[2 * b + 1]!];
    const [cx, cy] = [points[2 * c]!, points[2 * c + 1]!];
    if ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax) < 0) continue;
    const low = Math.floor(Math.min(ay, by, cy));
    const high = Math.floor(Math.max(ay, by, cy));
    const left = Math.floor(Math.min(ax, bx, cx));
    const right = Math.floor(Math.max(ax, bx, cx));
    if (low === high || left === right) {
      for (let row = low; row <= high; row++)
        for (let at = row * wide + left; at <= row * wide + right; at++) cells[at] = 1;
      continue;
    }
    edgeStrips(points, a, b, widen);
    edgeStrips(points, b, c, widen);
    edgeStrips(points, c, a, widen);
    for (let row = low; row <= high; row++) {
      for (let at = row * wide + from[row]!; at <= row * wide + to[row]!; at++) cells[at] = 1;
      from[row] = wide;
      to[row] = -1;
    }
  }
  return cells;
}

/** With all eight neighbours of every cell. */
function grownByOne({ cells, wide, deep }: CellSet): CellSet {
  const across = new Uint8Array(cells.length);
  for (let i = 1; i < cells.length - 1; i++) across[i] = cells[i - 1]! | cells[i]! | cells[i + 1]!;
  const grown = new Uint8Array(cells.length);
  for (let i = wide; i < cells.length - wide; i++) grown[i] = across[i - wide]! | across[i]! | across[i + wide]!;
  return { cells: grown, wide, deep };
}

/** Positive when it runs counter-clockwise. */
export function loopArea(loop: Float64Array): number {
  let sum = 0;
  for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2)
    sum += loop[j]! * loop[i + 1]! - loop[i]! * loop[j + 1]!;
  return sum / 2;
}

/** The closed loop with fewer corners, none of the others farther off than `mm`. */
function straighter(loop: Float64Array, mm: number): Float64Array {
  const num = loop.length / 2;
  const kept = new Uint8Array(num);
  let far = 0;
  for (let i = 1; i < num; i++) if (apart(loop, 0, i) > apart(loop, 0, far)) far = i;
  kept[0] = 1;
  kept[far] = 1;
  const open: [number, number][] = [
    [0, far],
    [far, num],
  ];
  for (let stretch = open.pop(); stretch !== undefined; stretch = open.pop()) {
    const [from, to] = stretch;
    let [worst, at] = [mm, -1];
    for (let i = from + 1; i < to; i++) {
      const off = offSegment(loop, i, [from, to % num]);
      if (off > worst) [worst, at] = [off, i];
    }
    if (at < 0) continue;
    kept[at] = 1;
    open.push([from, at], [at, to]);
  }
  return loop.filter((_, i) => kept[i >> 1] === 1);
}

function apart(loop: Float64Array, a: number, b: number): number {
  return Math.hypot(loop[2 * b]! - loop[2 * a]!, loop[2 * b + 1]! - loop[2 * a + 1]!);
}

function offSegment(loop: Float64Array, point: number, [a, b]: readonly [number, number]): number {
  const [ux, uy] = [loop[2 * b]! - loop[2 * a]!, loop[2 * b + 1]! - loop[2 * a + 1]!];
  const [vx, vy] = [loop[2 * point]! - loop[2 * a]!, loop[2 * point + 1]! - loop[2 * a + 1]!];
  const along = Math.min(1, Math.max(0, (ux * vx + uy * vy) / Math.max(1e-300, ux * ux + uy * uy)));
  return Math.hypot(vx - along * ux, vy - along * uy);
}
