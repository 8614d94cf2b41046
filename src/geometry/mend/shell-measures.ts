// What each shell of a mesh measures: the facts that its role is judged by.

import { type Mesh, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { halfEdgeTwins } from '../../mesh/topology.ts';

export interface MeasuredShell {
  readonly triangles: number;
  readonly volumeMm3: number;
  readonly areaMm2: number;
  readonly minMm: Vec3;
  readonly maxMm: Vec3;
  readonly closed: boolean;
  /** Its first triangle. */
  readonly first: number;
}

/** Per shell: volume of the cones from a point (of a sheet from its own middle), area, box. Cost: O(n). */
export function measureShells(mesh: Mesh, shellOfTri: Int32Array, count: number): readonly MeasuredShell[] {
  const { positions: p, triangles: t } = mesh;
  // Per shell: volume of the cones from the origin, area, area times normal (3), area times middle (3).
  const sums = new Float64Array(count * SUMS);
  const low = new Float64Array(count * 3).fill(Infinity);
  const high = new Float64Array(count * 3).fill(-Infinity);
  const tris = new Uint32Array(count);
  const first = new Int32Array(count).fill(NONE);
  const open = openShells(mesh, shellOfTri, count);
  // Volumes about a point of the mesh: far from the origin they would drown in rounding.
  const [ox, oy, oz] = [p[0] ?? 0, p[1] ?? 0, p[2] ?? 0];
  for (let tri = 0; tri < shellOfTri.length; tri++) {
    const s = shellOfTri[tri]!;
    if (first[s] === NONE) first[s] = tri;
    tris[s] = tris[s]! + 1;
    const a = t[tri * 3]! * 3;
    const b = t[tri * 3 + 1]! * 3;
    const c = t[tri * 3 + 2]! * 3;
    const ax = p[a]! - ox;
    const ay = p[a + 1]! - oy;
    const az = p[a + 2]! - oz;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const o = s * SUMS;
    const area = Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
    sums[o] = sums[o]! + (ax * nx + ay * ny + az * nz) / 6;
    sums[o + 1] = sums[o + 1]! + area;
    sums[o + 2] = sums[o + 2]! + nx / 2;
    sums[o + 3] = sums[o + 3]! + ny / 2;
    sums[o + 4] = sums[o + 4]! + nz / 2;
    sums[o + 5] = sums[o + 5]! + area * (ax + (ux + vx) / 3);
    sums[o + 6] = sums[o + 6]! + area * (ay + (uy + vy) / 3);
    sums[o + 7] = sums[o + 7]! + area * (az + (uz + vz) / 3);
    for (const v of [a, b, c]) {
      for (let k = 0; k < 3; k++) {
        if (p[v + k]! < low[s * 3 + k]!) low[s * 3 + k] = p[v + k]!;
        if (p[v + k]! > high[s * 3 + k]!) high[s * 3 + k] = p[v + k]!;
      }
    }
  }
  return Array.from(tris, (triangles, s) => ({
    triangles,
    volumeMm3: volumeOf(sums.subarray(s * SUMS, (s + 1) * SUMS)),
    areaMm2: sums[s * SUMS + 1]!,
    minMm: [low[s * 3]!, low[s * 3 + 1]!, low[s * 3 + 2]!],
    maxMm: [high[s * 3]!, high[s * 3 + 1]!, high[s * 3 + 2]!],
    closed: open[s] === 0,
    first: first[s]!,
  }));
}

const SUMS = 8;

/** Of a closed shell the same about every point; of a sheet about its own middle, which tells how it faces. */
function volumeOf([volume, area, nx, ny, nz, mx, my, mz]: ArrayLike<number> & Iterable<number>): number {
  if (!(area! > 0)) return 0;
  return volume! - (nx! * mx! + ny! * my! + nz! * mz!) / (3 * area!);
}

function openShells(mesh: Mesh, shellOfTri: Int32Array, count: number): Uint8Array {
  const open = new Uint8Array(count);
  const twins = halfEdgeTwins(mesh);
  for (let h = 0; h < twins.length; h++) if (twins[h] === NONE) open[shellOfTri[Math.trunc(h / 3)]!] = 1;
  return open;
}
