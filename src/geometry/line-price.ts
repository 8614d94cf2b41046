// What the line that a plane draws on a priced surface costs, for many planes near one another: the valleys in which seams settle.
import type { Mesh, Vec3 } from '../mesh/mesh.ts';
import type { Plane } from './plane.ts';

/** Triangles of a surface that lie near a plane, with their prices, packed for reading in one sweep. */
export interface PricedBand {
  /** num x 10, single precision: three corners about `middle`, price. */
  readonly rows: Float32Array;
  readonly middle: Vec3;
}

const ROW = 10;

/** Packs triangles. What they cost is told about `middle`, so that single precision is enough. tris: indices into the mesh.
 *  share: of all triangles those packed stand for, when only some are given. */
export function pricedBand(
  mesh: Mesh,
  price: Float32Array,
  tris: Int32Array,
  { middle, share = 1 }: { readonly middle: Vec3; readonly share?: number },
): PricedBand {
  const { positions: p, triangles: t } = mesh;
  const rows = new Float32Array(tris.length * ROW);
  for (let i = 0, at = 0; i < tris.length; i++, at += ROW) {
    const tri = tris[i]!;
    for (let corner = 0; corner < 3; corner++) {
      const v = t[tri * 3 + corner]! * 3;
      for (let c = 0; c < 3; c++) rows[at + corner * 3 + c] = p[v + c]! - middle[c]!;
    }
    rows[at + 9] = price[tri]! / share;
  }
  return { rows, middle };
}

/** Cost of the line at each of the planes normal . p = firstMm + k * stepMm, k = 0 .. num - 1, added to `out`.
 *  The section of a triangle grows evenly from its lowest corner to its middle one and shrinks evenly to its highest.
 *  Cost: 20 ns a triangle and 3 ns a plane it crosses. Exact for the triangles given. */
export function addPriceCurve(
  { rows, middle }: PricedBand,
  normal: Vec3,
  at: { readonly firstMm: number; readonly stepMm: number },
  out: Float64Array,
): void {
  const [nx, ny, nz] = normal;
  const first = at.firstMm - (nx * middle[0] + ny * middle[1] + nz * middle[2]);
  const last = first + (out.length - 1) * at.stepMm;
  for (let i = 0; i < rows.length; i += ROW) {
    const a = nx * rows[i]! + ny * rows[i + 1]! + nz * rows[i + 2]!;
    const b = nx * rows[i + 3]! + ny * rows[i + 4]! + nz * rows[i + 5]!;
    const c = nx * rows[i + 6]! + ny * rows[i + 7]! + nz * rows[i + 8]!;
    const low = Math.min(a, b, c);
    const high = Math.max(a, b, c);
    if (high <= first || low >= last || high - low < 1e-9) continue;
    const one = low === a ? 0 : low === b ? 3 : 6;
    const two = high === a && one !== 0 ? 0 : high === b && one !== 3 ? 3 : 6;
    const three = 9 - one - two;
    const mid = a + b + c - low - high;
    const f = (mid - low) / (high - low);
    const x = rows[i + one]! + f * (rows[i + two]! - rows[i + one]!) - rows[i + three]!;
    const y = rows[i + one + 1]! + f * (rows[i + two + 1]! - rows[i + one + 1]!) - rows[i + three + 1]!;
    const z = rows[i + one + 2]! + f * (rows[i + two + 2]! - rows[i + one + 2]!) - rows[i + three + 2]!;
    const widest = rows[i + 9]! * Math.sqrt(x * x + y * y + z * z);
    const from = Math.max(0, Math.ceil((low - first) / at.stepMm));
    const to = Math.min(out.length - 1, Math.floor((high - first) / at.stepMm));
    for (let k = from; k <= to; k++) {
      const d = first + k * at.stepMm;
      out[k] = out[k]! + widest * (d < mid ? (d - low) / (mid - low) : (high - d) / Math.max(1e-12, high - mid));
    }
  }
}

/** A half space by which a line is ended. */
export interface LineEnd {
  readonly plane: Plane;
  readonly side: 0 | 1;
}

export interface PricedLine {
  readonly costMm: number;
  readonly lengthMm: number;
  /** Middle of the line, each millimetre counting the same; the middle of the band where there is no line. */
  readonly middle: Vec3;
}

/** The line of one plane, each step of it cut off exactly where it leaves the half spaces. Cost: 15 ns a triangle. */
export function pricedLine({ rows, middle }: PricedBand, plane: Plane, ends: readonly LineEnd[]): PricedLine {
  const [nx, ny, nz] = plane.normal;
  const offset = plane.offsetMm - (nx * middle[0] + ny * middle[1] + nz * middle[2]);
  const step = new Float64Array(6);
  let costMm = 0;
  let lengthMm = 0;
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < rows.length; i += ROW) {
    const a = nx * rows[i]! + ny * rows[i + 1]! + nz * rows[i + 2]! - offset;
    const b = nx * rows[i + 3]! + ny * rows[i + 4]! + nz * rows[i + 5]! - offset;
    const c = nx * rows[i + 6]! + ny * rows[i + 7]! + nz * rows[i + 8]! - offset;
    if (a < 0 === b < 0 && b < 0 === c < 0) continue;
    // the corner that lies alone on its side of the plane
    const alone = a < 0 === b < 0 ? 6 : a < 0 === c < 0 ? 3 : 0;
    const heights: readonly [number, number, number] = alone === 6 ? [c, a, b] : alone === 3 ? [b, a, c] : [a, b, c];
    const others = alone === 6 ? [0, 3] : alone === 3 ? [0, 6] : [3, 6];
    for (let end = 0; end < 2; end++) {
      const f = heights[0] / (heights[0] - heights[end + 1]!);
      for (let k = 0; k < 3; k++) {
        const from = rows[i + alone + k]!;
        step[end * 3 + k] = from + f * (rows[i + others[end]! + k]! - from) + middle[k]!;
      }
    }
    if (!isKept(step, ends)) continue;
    const mm = Math.hypot(step[3]! - step[0]!, step[4]! - step[1]!, step[5]! - step[2]!);
    costMm += mm * rows[i + 9]!;
    lengthMm += mm;
    for (let k = 0; k < 3; k++) sum[k] = sum[k]! + (mm * (step[k]! + step[k + 3]!)) / 2;
  }
  if (lengthMm === 0) return { costMm, lengthMm, middle };
  return { costMm, lengthMm, middle: [sum[0] / lengthMm, sum[1] / lengthMm, sum[2] / lengthMm] };
}

/** Shortens the step to what lies within all half spaces; false when nothing is left. */
function isKept(step: Float64Array, ends: readonly LineEnd[]): boolean {
  for (const { plane, side } of ends) {
    const { normal, offsetMm } = plane;
    const sign = side === 0 ? -1 : 1;
    const from = sign * (step[0]! * normal[0] + step[1]! * normal[1] + step[2]! * normal[2] - offsetMm);
    const to = sign * (step[3]! * normal[0] + step[4]! * normal[1] + step[5]! * normal[2] - offsetMm);
    if (from <= 0 && to <= 0) return false;
    if (from >= 0 && to >= 0) continue;
    const f = from / (from - to);
    const outside = from < 0 ? 0 : 3;
    for (let k = 0; k < 3; k++) step[outside + k] = step[k]! + f * (step[3 + k]! - step[k]!);
  }
  return true;
}
