// Lays the vertices of a rebuilt surface onto the surface it was taken from, and frees it from crossings of its own.
import type { Work } from '../../base/work.ts';
import { partOfWork } from '../../base/work.ts';
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoints } from '../../mesh/closest-point.ts';
import { areaNormals } from '../../mesh/measure.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../mesh/mesh.ts';
import { selfCrossings } from '../self-crossings.ts';

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

export interface Uncrossed {
  readonly mesh: Mesh;
  /** Pairs of triangles that still cross. */
  readonly crossings: number;
  /** How far a vertex was moved for it at most, mm. */
  readonly movedMm: number;
}

/** Evens out the surface round triangles that cross others until none does: their vertices go to the middle of their neighbours,
 *  a ring more each time a place resists. Cost: a search for crossings a round, at most `rounds`. Weak: sheets that lie in each
 *  other over more than a cell stay. */
export function evenOutCrossings(
  mesh: Mesh,
  work: Work,
  options: { readonly rounds: number } = { rounds: 6 },
): Uncrossed {
  const positions = mesh.positions.slice();
  const out = meshOf(positions, mesh.triangles);
  let crossings = 0;
  for (let round = 0; round <= options.rounds; round++) {
    const part = partOfWork(work, round / (options.rounds + 1), (round + 1) / (options.rounds + 1));
    const found = selfCrossings(out, part);
    crossings = found.pairs;
    if (crossings === 0 || round === options.rounds) break;
    const marked = new Uint8Array(numVerts(mesh));
    for (let h = 0; h < mesh.triangles.length; h++)
      if (found.crossed[Math.trunc(h / 3)] === 1) marked[mesh.triangles[h]!] = 1;
    for (let ring = 0; ring < round - 1; ring++) spread(mesh, marked);
    for (let pass = 0; pass < 2; pass++) toMiddles(mesh, marked, positions);
  }
  let moved2 = 0;
  for (let v = 0; v < positions.length; v += 3) {
    const [x, y, z] = [0, 1, 2].map((c) => positions[v + c]! - mesh.positions[v + c]!) as [number, number, number];
    moved2 = Math.max(moved2, x * x + y * y + z * z);
  }
  return { mesh: out, crossings, movedMm: Math.sqrt(moved2) };
}

function spread({ triangles }: Mesh, marked: Uint8Array): void {
  const before = marked.slice();
  for (let h = 0; h < triangles.length; h += 3) {
    const [a, b, c] = [triangles[h]!, triangles[h + 1]!, triangles[h + 2]!];
    if (before[a] === 1 || before[b] === 1 || before[c] === 1) marked[a] = marked[b] = marked[c] = 1;
  }
}

function toMiddles({ triangles }: Mesh, marked: Uint8Array, positions: Float64Array): void {
  const sums = new Map<number, [number, number, number, number]>();
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h]!;
    if (marked[v] === 0) continue;
    const next = triangles[h % 3 === 2 ? h - 2 : h + 1]! * 3;
    const sum = sums.get(v) ?? [0, 0, 0, 0];
    for (let c = 0; c < 3; c++) sum[c]! += positions[next + c]!;
    sum[3]++;
    sums.set(v, sum);
  }
  for (const [v, sum] of sums)
    for (let c = 0; c < 3; c++) positions[v * 3 + c] = (positions[v * 3 + c]! + (2 * sum[c]!) / sum[3]) / 3;
}
