// What lies under many points at once: the highest facet that looks up below each of them.
import { QUIET_WORK, type Work } from '../base/work.ts';
import type { Mesh } from '../mesh/mesh.ts';

/** Points side by side, mm. */
export interface PointArrays {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
}

/** Surfaces closer than this touch: what touches a point lies below it. */
const TOUCHING_MM = 1e-6;

/** Per point the height of the highest facet looking up at or below it, -Infinity where there is none.
 *  Points are sorted into cells seen from above, and each facet is asked for the points in the cells it covers, so
 *  that facets away from all points cost next to nothing. Space: that of the mesh, z up. Cost: O(numTris + points + pairs in one cell), no memory
 *  but for the points. Weak: facets much larger than a cell are asked for every point below their rows. */
export function heightsBelow(mesh: Mesh, points: PointArrays, work: Work = QUIET_WORK): Float64Array {
  const heights = new Float64Array(points.x.length).fill(-Infinity);
  if (heights.length === 0) return heights;
  const cells = cellsOf(points);
  const { positions: p, triangles } = mesh;
  for (let t = 0; t < triangles.length; t += 3) {
    if (t % TICK_EVERY === 0) work.tick(t / triangles.length);
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ax = p[a]!;
    const ay = p[a + 1]!;
    const bx = p[b]!;
    const by = p[b + 1]!;
    const cx = p[c]!;
    const cy = p[c + 1]!;
    if ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax) <= 0) continue;
    const fromX = Math.max(0, Math.floor((Math.min(ax, bx, cx) - cells.minX) / cells.cellMm));
    const toX = Math.min(cells.columns - 1, Math.floor((Math.max(ax, bx, cx) - cells.minX) / cells.cellMm));
    if (fromX > toX) continue;
    const fromY = Math.max(0, Math.floor((Math.min(ay, by, cy) - cells.minY) / cells.cellMm));
    const toY = Math.min(cells.rows - 1, Math.floor((Math.max(ay, by, cy) - cells.minY) / cells.cellMm));
    for (let row = fromY; row <= toY; row++) {
      const from = cells.start[row * cells.columns + fromX]!;
      const to = cells.start[row * cells.columns + toX + 1]!;
      if (from < to) raiseTo(mesh, t, { cells, from, to }, heights);
    }
  }
  return inOrder(heights, cells.order);
}

const TICK_EVERY = 3 << 16;

/** Points by cell; cell k holds start[k] .. start[k + 1] - 1, and a row of cells lies in one piece. */
interface PointCells extends PointArrays {
  readonly cellMm: number;
  readonly minX: number;
  readonly minY: number;
  readonly columns: number;
  readonly rows: number;
  readonly start: Uint32Array;
  /** Which point of the given ones lies in each place. */
  readonly order: Uint32Array;
}

/** Points stand in crowds below overhangs: with fewer cells a facet looks at many it does not cover. */
const CELLS_A_POINT = 4;

function cellsOf({ x, y, z }: PointArrays): PointCells {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < x.length; i++) {
    minX = Math.min(minX, x[i]!);
    maxX = Math.max(maxX, x[i]!);
    minY = Math.min(minY, y[i]!);
    maxY = Math.max(maxY, y[i]!);
  }
  const spanMm = Math.max(maxX - minX, maxY - minY, 1e-3);
  const cellMm = Math.max(
    spanMm / 2000,
    Math.sqrt(((maxX - minX) * (maxY - minY) + 1e-6) / (CELLS_A_POINT * x.length)),
  );
  const columns = Math.floor((maxX - minX) / cellMm) + 1;
  const rows = Math.floor((maxY - minY) / cellMm) + 1;
  const cellOf = new Uint32Array(x.length);
  const start = new Uint32Array(columns * rows + 1);
  for (let i = 0; i < x.length; i++) {
    cellOf[i] = Math.floor((y[i]! - minY) / cellMm) * columns + Math.floor((x[i]! - minX) / cellMm);
    start[cellOf[i]! + 1]!++;
  }
  for (let i = 1; i < start.length; i++) start[i]! += start[i - 1]!;
  const next = start.slice();
  const order = new Uint32Array(x.length);
  for (let i = 0; i < x.length; i++) order[next[cellOf[i]!]!++] = i;
  return {
    cellMm,
    minX,
    minY,
    columns,
    rows,
    start,
    order,
    x: picked(x, order),
    y: picked(y, order),
    z: picked(z, order),
  };
}

function picked(values: Float64Array, order: Uint32Array): Float64Array {
  const out = new Float64Array(order.length);
  for (let i = 0; i < order.length; i++) out[i] = values[order[i]!]!;
  return out;
}

/** Raises the heights of the points in from .. to - 1 that lie over a facet looking up, to that facet. */
function raiseTo(
  mesh: Mesh,
  t: number,
  run: { readonly cells: PointCells; readonly from: number; readonly to: number },
  heights: Float64Array,
): void {
  const { positions: p, triangles } = mesh;
  const { x, y, z } = run.cells;
  const a = triangles[t]! * 3;
  const b = triangles[t + 1]! * 3;
  const c = triangles[t + 2]! * 3;
  for (let i = run.from; i < run.to; i++) {
    const ax = p[a]! - x[i]!;
    const ay = p[a + 1]! - y[i]!;
    const bx = p[b]! - x[i]!;
    const by = p[b + 1]! - y[i]!;
    const wc = ax * by - ay * bx;
    if (wc < 0) continue;
    const dx = p[c]! - x[i]!;
    const dy = p[c + 1]! - y[i]!;
    const wa = bx * dy - by * dx;
    if (wa < 0) continue;
    const wb = dx * ay - dy * ax;
    if (wb < 0) continue;
    const hit = (wa * p[a + 2]! + wb * p[b + 2]! + wc * p[c + 2]!) / (wa + wb + wc);
    if (hit > heights[i]! && hit < z[i]! + TOUCHING_MM) heights[i] = hit;
  }
}

function inOrder(values: Float64Array, order: Uint32Array): Float64Array {
  const out = new Float64Array(values.length);
  for (let i = 0; i < order.length; i++) out[order[i]!] = values[i]!;
  return out;
}
