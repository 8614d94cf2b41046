// Where a mesh as it lies must be held up: columns from each overhanging facet down to the bed or the surface below it.
import { partOfWork, QUIET_WORK, type Work } from '../base/work.ts';
import type { Mesh } from '../mesh/mesh.ts';

export interface SupportOptions {
  /** Steepest overhang that needs no support, degrees FROM VERTICAL: 0 is a wall, 90 a ceiling. */
  readonly limitDeg: number;
  /** Facets are looked at in parts no longer than this, mm. */
  readonly sampleMm?: number;
}

export const SUPPORT_DEFAULTS = { sampleMm: 2 } as const;

/** Columns side by side; areas are projected on the bed. The bed is z = 0. */
export interface SupportColumns {
  readonly num: number;
  /** Where it stands, seen from above. */
  readonly xMm: Float64Array;
  readonly yMm: Float64Array;
  readonly areaMm2: Float64Array;
  readonly bottomMm: Float64Array;
  readonly topMm: Float64Array;
  /** Sum of area * height. */
  readonly volumeMm3: number;
  /** Held surface, projected on the bed. */
  readonly areaSumMm2: number;
}

/** Columns below all facets that lean out more than the limit, down to the next surface below or the bed.
 *  Each overhanging facet is cut in equal parts by its own edges, so nothing depends on how the mesh is turned about z.
 *  Space: laid, mm. Cost: O(numTris) for a grid of the facets that look up, then about a hundred tests a part.
 *  Method: column model, docs/methods/support-columns.md. Weak: no bridges, no widening of columns, no trees. */
export function supportColumns(mesh: Mesh, options: SupportOptions, work: Work = QUIET_WORK): SupportColumns {
  const doing = 'standing up support';
  work.tick(0, doing);
  const overhangs = heldTriangles(mesh, options.limitDeg);
  const parts = cutToParts(mesh, overhangs, options.sampleMm ?? SUPPORT_DEFAULTS.sampleMm);
  work.tick(0.2, doing);
  const num = parts.area.length;
  const bottomMm = new Float64Array(num);
  let volumeMm3 = 0;
  let areaSumMm2 = 0;
  const grid = num > 0 ? gridOfUpward(mesh, partOfWork(work, 0.2, 0.5)) : null;
  for (let i = 0; i < num; i++) {
    if ((i & 4095) === 0) work.tick(0.5 + (0.5 * i) / num, doing);
    bottomMm[i] = Math.max(0, highestBelow(mesh, grid!, [parts.x[i]!, parts.y[i]!, parts.z[i]!]));
    volumeMm3 += parts.area[i]! * Math.max(0, parts.z[i]! - bottomMm[i]!);
    areaSumMm2 += parts.area[i]!;
  }
  return { num, xMm: parts.x, yMm: parts.y, areaMm2: parts.area, bottomMm, topMm: parts.z, volumeMm3, areaSumMm2 };
}

const ON_BED_MM = 1e-6;

/** Triangles (as offsets into `triangles`) that lean out more than the limit, degrees from vertical, and do not lie on the bed. Space: laid. Cost: O(numTris). */
export function heldTriangles(mesh: Mesh, limitDeg: number): Uint32Array {
  const { positions: p, triangles } = mesh;
  const limit = Math.sin((limitDeg * Math.PI) / 180);
  const found: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ex = p[b]! - p[a]!;
    const ey = p[b + 1]! - p[a + 1]!;
    const fx = p[c]! - p[a]!;
    const fy = p[c + 1]! - p[a + 1]!;
    const nz = ex * fy - ey * fx;
    if (nz >= 0) continue;
    const ez = p[b + 2]! - p[a + 2]!;
    const fz = p[c + 2]! - p[a + 2]!;
    const nx = ey * fz - ez * fy;
    const ny = ez * fx - ex * fz;
    if (-nz <= limit * Math.sqrt(nx * nx + ny * ny + nz * nz)) continue;
    if (Math.max(p[a + 2]!, p[b + 2]!, p[c + 2]!) > ON_BED_MM) found.push(t);
  }
  return Uint32Array.from(found);
}

const MOST_CUTS = 200;

/** Cuts each facet in k x k equal triangles, k so that none is longer than sampleMm seen from above. */
function cutToParts(mesh: Mesh, overhangs: Uint32Array, sampleMm: number) {
  const { positions: p, triangles } = mesh;
  const cutsOf = (t: number): number => {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const longest = Math.max(
      Math.hypot(p[b]! - p[a]!, p[b + 1]! - p[a + 1]!),
      Math.hypot(p[c]! - p[b]!, p[c + 1]! - p[b + 1]!),
      Math.hypot(p[a]! - p[c]!, p[a + 1]! - p[c + 1]!),
    );
    return Math.min(MOST_CUTS, Math.max(1, Math.ceil(longest / sampleMm)));
  };
  let num = 0;
  for (const t of overhangs) num += cutsOf(t) ** 2;
  const x = new Float64Array(num);
  const y = new Float64Array(num);
  const z = new Float64Array(num);
  const area = new Float64Array(num);
  let i = 0;
  for (const t of overhangs) {
    const k = cutsOf(t);
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const flat = Math.abs((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[b + 1]! - p[a + 1]!) * (p[c]! - p[a]!)) / 2;
    for (let r = 0; r < k; r++) {
      for (let s = 0; s < 2 * (k - r) - 1; s++) {
        const turned = s & 1;
        const wb = (r + (turned === 1 ? 2 : 1) / 3) / k;
        const wc = ((s >> 1) + (turned === 1 ? 2 : 1) / 3) / k;
        const wa = 1 - wb - wc;
        x[i] = wa * p[a]! + wb * p[b]! + wc * p[c]!;
        y[i] = wa * p[a + 1]! + wb * p[b + 1]! + wc * p[c + 1]!;
        z[i] = wa * p[a + 2]! + wb * p[b + 2]! + wc * p[c + 2]!;
        area[i++] = flat / (k * k);
      }
    }
  }
  return { x, y, z, area };
}

/** Facets that look up, sorted into square cells seen from above. */
interface UpwardGrid {
  readonly cellMm: number;
  readonly minX: number;
  readonly minY: number;
  readonly columns: number;
  readonly rows: number;
  readonly start: Uint32Array;
  readonly tris: Uint32Array;
}

function gridOfUpward(mesh: Mesh, work: Work): UpwardGrid {
  const { positions: p, triangles } = mesh;
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < p.length; i += 3) {
    minX = Math.min(minX, p[i]!);
    maxX = Math.max(maxX, p[i]!);
    minY = Math.min(minY, p[i + 1]!);
    maxY = Math.max(maxY, p[i + 1]!);
  }
  work.tick(0);
  const upward = findUpward(mesh);
  work.tick(0.2);
  const eachCell = (cellMm: number, columns: number, use: (cell: number, t: number) => void): void => {
    for (const t of upward) {
      const a = triangles[t]! * 3;
      const b = triangles[t + 1]! * 3;
      const c = triangles[t + 2]! * 3;
      const toX = Math.floor((Math.max(p[a]!, p[b]!, p[c]!) - minX) / cellMm);
      const fromY = Math.floor((Math.min(p[a + 1]!, p[b + 1]!, p[c + 1]!) - minY) / cellMm);
      const toY = Math.floor((Math.max(p[a + 1]!, p[b + 1]!, p[c + 1]!) - minY) / cellMm);
      for (let cx = Math.floor((Math.min(p[a]!, p[b]!, p[c]!) - minX) / cellMm); cx <= toX; cx++)
        for (let cy = fromY; cy <= toY; cy++) use(cy * columns + cx, t);
    }
  };
  const spanMm = Math.max(maxX - minX, maxY - minY, 1e-3);
  let cellMm = Math.max(spanMm / 2000, Math.sqrt(((maxX - minX) * (maxY - minY) + 1e-6) / (upward.length + 1)));
  const most = 12 * upward.length + 1_000_000;
  while (numEntries(mesh, upward, cellMm) > most) cellMm *= 2;
  work.tick(0.4);
  const columns = Math.floor((maxX - minX) / cellMm) + 1;
  const rows = Math.floor((maxY - minY) / cellMm) + 1;
  const start = new Uint32Array(columns * rows + 1);
  eachCell(cellMm, columns, (cell) => {
    start[cell + 1]!++;
  });
  work.tick(0.7);
  for (let i = 1; i < start.length; i++) start[i]! += start[i - 1]!;
  const tris = new Uint32Array(start[columns * rows]!);
  const next = start.slice();
  eachCell(cellMm, columns, (cell, t) => {
    tris[next[cell]!++] = t;
  });
  return { cellMm, minX, minY, columns, rows, start, tris };
}

function findUpward(mesh: Mesh): Uint32Array {
  const { positions: p, triangles } = mesh;
  const found = new Uint32Array(triangles.length / 3);
  let num = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    if ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[b + 1]! - p[a + 1]!) * (p[c]! - p[a]!) > 0) found[num++] = t;
  }
  return found.subarray(0, num);
}

/** Upper bound of the entries a grid of this cell size would have. */
function numEntries(mesh: Mesh, upward: Uint32Array, cellMm: number): number {
  const { positions: p, triangles } = mesh;
  let sum = 0;
  for (const t of upward) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const width = Math.max(p[a]!, p[b]!, p[c]!) - Math.min(p[a]!, p[b]!, p[c]!);
    const depth = Math.max(p[a + 1]!, p[b + 1]!, p[c + 1]!) - Math.min(p[a + 1]!, p[b + 1]!, p[c + 1]!);
    sum += (width / cellMm + 2) * (depth / cellMm + 2);
  }
  return sum;
}

/** Surfaces closer than this touch: nothing stands between them. */
const TOUCHING_MM = 1e-6;

/** Height of the highest upward facet at or below the point; -Infinity when there is none. */
function highestBelow(mesh: Mesh, grid: UpwardGrid, at: readonly [number, number, number]): number {
  const { positions: p, triangles } = mesh;
  const [x, y, z] = at;
  const cx = Math.min(grid.columns - 1, Math.max(0, Math.floor((x - grid.minX) / grid.cellMm)));
  const cy = Math.min(grid.rows - 1, Math.max(0, Math.floor((y - grid.minY) / grid.cellMm)));
  const cell = cy * grid.columns + cx;
  let best = -Infinity;
  for (let i = grid.start[cell]!; i < grid.start[cell + 1]!; i++) {
    const t = grid.tris[i]!;
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ax = p[a]! - x;
    const ay = p[a + 1]! - y;
    const bx = p[b]! - x;
    const by = p[b + 1]! - y;
    const wc = ax * by - ay * bx;
    if (wc < 0) continue;
    const dx = p[c]! - x;
    const dy = p[c + 1]! - y;
    const wa = bx * dy - by * dx;
    if (wa < 0) continue;
    const wb = dx * ay - dy * ax;
    if (wb < 0) continue;
    const hit = (wa * p[a + 2]! + wb * p[b + 2]! + wc * p[c + 2]!) / (wa + wb + wc);
    if (hit > best && hit < z + TOUCHING_MM) best = hit;
  }
  return best;
}
