// Volume, area, middle and box of a piece, in one pass.
import { principalAxes } from '../../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';

export interface PieceMeasures {
  readonly volumeMm3: number;
  readonly areaMm2: number;
  /** Middle of the surface, weighted by area. */
  readonly centreMm: Vec3;
  readonly sizeMm: Vec3;
}

export function pieceMeasures(mesh: Mesh): PieceMeasures {
  const { positions: p, triangles: t } = mesh;
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < p.length; i += 3) {
    for (const c of [0, 1, 2] as const) {
      if (p[i + c]! < low[c]) low[c] = p[i + c]!;
      if (p[i + c]! > high[c]) high[c] = p[i + c]!;
    }
  }
  let areaMm2 = 0;
  const middle: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < t.length; i += 3) {
    const a = t[i]! * 3;
    const b = t[i + 1]! * 3;
    const c = t[i + 2]! * 3;
    const area = triangleArea(p, a, b, c);
    areaMm2 += area;
    for (const k of [0, 1, 2] as const) middle[k] += (area * (p[a + k]! + p[b + k]! + p[c + k]!)) / 3;
  }
  const centreMm: Vec3 = [middle[0] / areaMm2, middle[1] / areaMm2, middle[2] / areaMm2];
  const sizeMm: Vec3 = [high[0] - low[0], high[1] - low[1], high[2] - low[2]];
  return { volumeMm3: volumeOf(mesh), areaMm2, centreMm, sizeMm };
}

export function triangleArea(p: Float64Array, a: number, b: number, c: number): number {
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  return Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
}

/** Signed volume by the divergence theorem, about the first vertex so that far-off models lose no digits. */
export function volumeOf(mesh: Mesh): number {
  const { positions: p, triangles: t } = mesh;
  if (t.length === 0) return 0;
  const ox = p[0]!;
  const oy = p[1]!;
  const oz = p[2]!;
  let six = 0;
  for (let i = 0; i < t.length; i += 3) {
    const a = t[i]! * 3;
    const b = t[i + 1]! * 3;
    const c = t[i + 2]! * 3;
    const ax = p[a]! - ox;
    const ay = p[a + 1]! - oy;
    const az = p[a + 2]! - oz;
    const bx = p[b]! - ox;
    const by = p[b + 1]! - oy;
    const bz = p[b + 2]! - oz;
    const cx = p[c]! - ox;
    const cy = p[c + 1]! - oy;
    const cz = p[c + 2]! - oz;
    six += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
  }
  return six / 6;
}

/** Width of a piece, mm: the middle side of its box along the axes in which its vertices spread most, middling and least (a strip
 *  of wall has thickness, width and length). Cost: O(vertices). Weak: a bent strip counts as wider than it is. */
export function widthOf(mesh: Mesh): number {
  const { positions: p } = mesh;
  const num = p.length / 3;
  const middle: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < p.length; i += 3) for (const c of [0, 1, 2] as const) middle[c] += p[i + c]! / num;
  const sides = principalAxes(p, middle).map((axis) => {
    let low = Infinity;
    let high = -Infinity;
    for (let i = 0; i < p.length; i += 3) {
      const along = p[i]! * axis[0] + p[i + 1]! * axis[1] + p[i + 2]! * axis[2];
      if (along < low) low = along;
      if (along > high) high = along;
    }
    return high - low;
  });
  return sides.sort((one, other) => one - other)[1]!;
}
