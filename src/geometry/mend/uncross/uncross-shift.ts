// Surfaces that touch, lie in one plane or cross edge on edge are moved a hair outward, each by another amount, before they are cut.
import { randomStream } from '../../../base/random.ts';
import { type Mesh, meshOf, numTris, numVerts } from '../../../mesh/mesh.ts';

export interface Shifting {
  /** The usual length of a move, mm. */
  readonly byMm: number;
  readonly seed: number;
}

/** Moves the corners of the named triangles outward by 0.5 to 1.5 times the usual length: corners of one shell by nearly the same,
 *  other shells by another, so that faces of two shells that lay in one plane lie one outside the other instead of crossing
 *  at random. A fifth of each move is chance in any direction, for folds within one shell. Cost: O(n). */
export function shifted(mesh: Mesh, tris: Iterable<number>, shellOfTri: Int32Array, shifting: Shifting): Mesh {
  const shellOf = new Int32Array(numVerts(mesh)).fill(-1);
  for (const t of tris) for (let h = 3 * t; h < 3 * t + 3; h++) shellOf[mesh.triangles[h]!] = shellOfTri[t] ?? 0;
  const normals = outwardAt(mesh, shellOf);
  const positions = mesh.positions.slice();
  const random = randomStream(shifting.seed);
  for (let v = 0; v < shellOf.length; v++) {
    if (shellOf[v]! < 0) continue;
    const byMm = shifting.byMm * (0.5 + randomStream(shifting.seed * 7919 + shellOf[v]!)());
    for (let k = 0; k < 3; k++)
      positions[3 * v + k] = positions[3 * v + k]! + byMm * (normals[3 * v + k]! + 0.4 * (random() - 0.5));
  }
  return meshOf(positions, mesh.triangles);
}

/** Unit normals at the marked vertices, by the angles of the triangles round them; zero elsewhere. */
function outwardAt(mesh: Mesh, marked: Int32Array): Float64Array {
  const { positions: p, triangles } = mesh;
  const out = new Float64Array(p.length);
  const minus = (to: number, from: number): [number, number, number] => [
    p[3 * to]! - p[3 * from]!,
    p[3 * to + 1]! - p[3 * from + 1]!,
    p[3 * to + 2]! - p[3 * from + 2]!,
  ];
  for (let h = 0; h < 3 * numTris(mesh); h++) {
    const v = triangles[h]!;
    if (marked[v]! < 0) continue;
    const d = minus(triangles[h % 3 === 2 ? h - 2 : h + 1]!, v);
    const e = minus(triangles[h % 3 === 0 ? h + 2 : h - 1]!, v);
    const n = [d[1] * e[2] - d[2] * e[1], d[2] * e[0] - d[0] * e[2], d[0] * e[1] - d[1] * e[0]] as const;
    const length = Math.hypot(...n);
    if (length === 0) continue;
    const angle = Math.atan2(length, d[0] * e[0] + d[1] * e[1] + d[2] * e[2]);
    for (let k = 0; k < 3; k++) out[3 * v + k] = out[3 * v + k]! + (angle * n[k]!) / length;
  }
  for (let v = 0; v < out.length; v += 3) {
    const length = Math.hypot(out[v]!, out[v + 1]!, out[v + 2]!);
    if (length > 0) for (let k = v; k < v + 3; k++) out[k] = out[k]! / length;
  }
  return out;
}
