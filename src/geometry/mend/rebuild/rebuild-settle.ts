// Lays the vertices of a rebuilt surface onto the surface it was taken from.
import type { Work } from '../../../base/work.ts';
import type { BoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoints } from '../../../mesh/closest-point.ts';
import { areaNormals } from '../../../mesh/measure.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../../mesh/mesh.ts';

export interface SettleOptions {
  /** The surface to lie on, and the unit normals of its triangles (numTris x 3). */
  readonly tree: BoundingTree;
  readonly normals: Float64Array;
  /** Vertices move no farther than this, mm. */
  readonly withinMm: number;
}

/** The least cosine between a triangle before and after, and between a vertex and the triangle it is laid on. */
const KEPT_COSINE = 0.5;
const ALIKE_COSINE = 0.7;
const ROUNDS = 8;

/** Moves each vertex to the nearest point of the surface when that is near and faces the same way, so that swallowed sheets close
 *  below draw nothing to them; moves that turn a triangle by more than 60 degrees are taken back. Cost: one nearest point a vertex. */
export function settleVertices(mesh: Mesh, options: SettleOptions, work: Work): Mesh {
  const { positions: p } = mesh;
  const num = numVerts(mesh);
  const found = { tri: new Int32Array(num), distanceMm: new Float64Array(num), atMm: new Float64Array(num * 3) };
  work.tick(0, 'laying the surface onto the one read');
  closestPoints(options.tree, p, found, { withinMm: options.withinMm });
  const before = areaNormals(mesh);
  const facing = vertNormals(mesh, before);
  const moved = p.slice();
  for (let v = 0; v < num; v++) {
    const tri = found.tri[v]!;
    if (tri === NONE) continue;
    const along =
      facing[v * 3]! * options.normals[tri * 3]! +
      facing[v * 3 + 1]! * options.normals[tri * 3 + 1]! +
      facing[v * 3 + 2]! * options.normals[tri * 3 + 2]!;
    if (along < ALIKE_COSINE) continue;
    for (let c = 0; c < 3; c++) moved[v * 3 + c] = found.atMm[v * 3 + c]!;
  }
  takeBackTurned(mesh, before, moved);
  return meshOf(moved, mesh.triangles);
}

/** numTris x 3. */
export function unitNormals(mesh: Mesh): Float64Array {
  return scaledToUnit(areaNormals(mesh));
}

function scaledToUnit(vectors: Float64Array): Float64Array {
  for (let o = 0; o < vectors.length; o += 3) {
    const length = Math.hypot(vectors[o]!, vectors[o + 1]!, vectors[o + 2]!) || 1;
    for (let c = 0; c < 3; c++) vectors[o + c]! /= length;
  }
  return vectors;
}

function vertNormals(mesh: Mesh, normals: Float64Array): Float64Array {
  const out = new Float64Array(mesh.positions.length);
  for (let h = 0; h < mesh.triangles.length; h++) {
    const v = mesh.triangles[h]! * 3;
    const t = 3 * Math.trunc(h / 3);
    for (let c = 0; c < 3; c++) out[v + c]! += normals[t + c]!;
  }
  return scaledToUnit(out);
}

function takeBackTurned(mesh: Mesh, before: Float64Array, moved: Float64Array): void {
  for (let round = 0; round < ROUNDS; round++) {
    const after = areaNormals(meshOf(moved, mesh.triangles));
    let back = 0;
    for (let t = 0; t < after.length; t += 3) {
      const dot = before[t]! * after[t]! + before[t + 1]! * after[t + 1]! + before[t + 2]! * after[t + 2]!;
      const was = Math.hypot(before[t]!, before[t + 1]!, before[t + 2]!);
      const is = Math.hypot(after[t]!, after[t + 1]!, after[t + 2]!);
      if (dot > KEPT_COSINE * was * is && is > 0.05 * was) continue;
      back += takeBack(mesh, t, moved);
    }
    if (back === 0) return;
  }
  moved.set(mesh.positions);
}

/** Number of vertices of a triangle that were moved and are back. */
function takeBack({ positions: p, triangles }: Mesh, t: number, moved: Float64Array): number {
  let back = 0;
  for (let corner = 0; corner < 3; corner++) {
    const v = triangles[t + corner]! * 3;
    if (p[v] === moved[v] && p[v + 1] === moved[v + 1] && p[v + 2] === moved[v + 2]) continue;
    for (let c = 0; c < 3; c++) moved[v + c] = p[v + c]!;
    back++;
  }
  return back;
}
