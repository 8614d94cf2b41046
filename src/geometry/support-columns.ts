// Where a mesh as it lies must be held up: columns from each overhanging facet down to the bed or the surface below it.
import { partOfWork, QUIET_WORK, type Work } from '../base/work.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { heightsBelow } from './heights-below.ts';

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
  /** Where each stands on the bed, and the facet it holds. */
  readonly xMm: Float64Array;
  readonly yMm: Float64Array;
  readonly tri: Uint32Array;
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
 *  Space: laid, mm. Cost: O(numTris + parts), about 0.15 s a million triangles.
 *  Method: column model, docs/methods/support-columns.md. Weak: no bridges, no widening of columns, no trees. */
export function supportColumns(mesh: Mesh, options: SupportOptions, work: Work = QUIET_WORK): SupportColumns {
  const doing = 'standing up support';
  work.tick(0, doing);
  const overhangs = heldTriangles(mesh, options.limitDeg);
  const parts = cutToParts(mesh, overhangs, options.sampleMm ?? SUPPORT_DEFAULTS.sampleMm);
  work.tick(0.2, doing);
  const num = parts.area.length;
  const bottomMm = heightsBelow(mesh, parts, partOfWork(work, 0.2, 1));
  let volumeMm3 = 0;
  let areaSumMm2 = 0;
  for (let i = 0; i < num; i++) {
    bottomMm[i] = Math.max(0, bottomMm[i]!);
    volumeMm3 += parts.area[i]! * Math.max(0, parts.z[i]! - bottomMm[i]!);
    areaSumMm2 += parts.area[i]!;
  }
  const { x: xMm, y: yMm, z: topMm, tri, area: areaMm2 } = parts;
  return { num, xMm, yMm, tri, areaMm2, bottomMm, topMm, volumeMm3, areaSumMm2 };
}

/** Lower than this lies on the bed, mm: a hull tells the way of a face to single precision only, some 1e-4 mm across a piece. */
const ON_BED_MM = 0.01;

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
    const longest = Math.sqrt(Math.max(squared(p, a, b), squared(p, b, c), squared(p, c, a)));
    return Math.min(MOST_CUTS, Math.max(1, Math.ceil(longest / sampleMm)));
  };
  let num = 0;
  for (const t of overhangs) num += cutsOf(t) ** 2;
  const x = new Float64Array(num);
  const y = new Float64Array(num);
  const z = new Float64Array(num);
  const area = new Float64Array(num);
  const tri = new Uint32Array(num);
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
        tri[i] = t / 3;
        area[i++] = flat / (k * k);
      }
    }
  }
  return { x, y, z, tri, area };
}

/** Of the distance seen from above. */
function squared(p: Float64Array, a: number, b: number): number {
  const dx = p[b]! - p[a]!;
  const dy = p[b + 1]! - p[a + 1]!;
  return dx * dx + dy * dy;
}
