// Discs dropped on a place by brute force, apart from the geometry that is tested: columns on a grid over every triangle, and every middle tried.
import type { Mesh, Vec3 } from '../../src/mesh/mesh.ts';

export interface DroppedDisc {
  readonly radiusMm: number;
  readonly heightMm: number;
  readonly giveMm: number;
}

/** Columns a radius. */
const FINE = 18;

/** Whether a disc finds a middle from which it covers the place, and none of the columns under it is solid just over its face or meets a surface below its height. */
export function discStands(mesh: Mesh, at: Vec3, normal: Vec3, disc: DroppedDisc): boolean {
  const { radiusMm } = disc;
  const cell = radiusMm / FINE;
  const wide = 4 * FINE + 1;
  const blocked = blockedColumns(mesh, at, normal, { ...disc, cell, wide });
  const middle = 2 * FINE;
  const offsets: number[] = [];
  for (let j = -FINE; j <= FINE; j++)
    for (let i = -FINE; i <= FINE; i++) if (i * i + j * j < FINE * FINE) offsets.push(i, j);
  if (blocked[middle + wide * middle] === 1) return false;
  if (blocked.every((value) => value === 0)) return true;
  for (let m = 0; m < offsets.length; m += 2) {
    const x = middle + offsets[m]!;
    const y = middle + offsets[m + 1]!;
    let isFree = true;
    for (let k = 0; isFree && k < offsets.length; k += 2)
      isFree = blocked[x + offsets[k]! + wide * (y + offsets[k + 1]!)] === 0;
    if (isFree) return true;
  }
  return false;
}

interface Columns extends DroppedDisc {
  readonly cell: number;
  readonly wide: number;
}

/** wide x wide, the place in the middle: 1 where an odd number of surfaces lies over the face, or one between face and height. */
function blockedColumns({ positions: p, triangles: t }: Mesh, at: Vec3, n: Vec3, columns: Columns): Uint8Array {
  const { giveMm, heightMm, cell, wide } = columns;
  const helper: Vec3 = Math.abs(n[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const along = (a: Vec3, v: number): number =>
    a[0] * (p[v]! - at[0]) + a[1] * (p[v + 1]! - at[1]) + a[2] * (p[v + 2]! - at[2]);
  const u = unitCross(helper, n);
  const w = unitCross(n, u);
  const odd = new Uint8Array(wide * wide);
  const met = new Uint8Array(wide * wide);
  const half = (wide - 1) / 2;
  for (let i = 0; i < t.length; i += 3) {
    const verts = [t[i]! * 3, t[i + 1]! * 3, t[i + 2]! * 3] as const;
    if (along(n, verts[0]) <= giveMm && along(n, verts[1]) <= giveMm && along(n, verts[2]) <= giveMm) continue;
    const [a, b, c] = verts.map((v) => [along(u, v) / cell + half, along(w, v) / cell + half, along(n, v)]) as [
      number[],
      number[],
      number[],
    ];
    const lowX = Math.max(0, Math.ceil(Math.min(a[0]!, b[0]!, c[0]!)));
    const highX = Math.min(wide - 1, Math.floor(Math.max(a[0]!, b[0]!, c[0]!)));
    const lowY = Math.max(0, Math.ceil(Math.min(a[1]!, b[1]!, c[1]!)));
    const highY = Math.min(wide - 1, Math.floor(Math.max(a[1]!, b[1]!, c[1]!)));
    const area = (b[0]! - a[0]!) * (c[1]! - a[1]!) - (b[1]! - a[1]!) * (c[0]! - a[0]!);
    if (area === 0) continue;
    for (let y = lowY; y <= highY; y++) {
      for (let x = lowX; x <= highX; x++) {
        const inB = ((x - a[0]!) * (c[1]! - a[1]!) - (y - a[1]!) * (c[0]! - a[0]!)) / area;
        const inC = ((b[0]! - a[0]!) * (y - a[1]!) - (b[1]! - a[1]!) * (x - a[0]!)) / area;
        if (inB < 0 || inC < 0 || inB + inC > 1) continue;
        const up = a[2]! + inB * (b[2]! - a[2]!) + inC * (c[2]! - a[2]!);
        if (up <= giveMm) continue;
        odd[x + wide * y] = odd[x + wide * y]! ^ 1;
        if (up < heightMm) met[x + wide * y] = 1;
      }
    }
  }
  return odd.map((value, k) => value | met[k]!);
}

function unitCross(a: Vec3, b: Vec3): Vec3 {
  const c = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const length = Math.sqrt(c[0]! ** 2 + c[1]! ** 2 + c[2]! ** 2);
  return [c[0]! / length, c[1]! / length, c[2]! / length];
}
