// Lays the vertices of a rebuilt surface onto the surface it was taken from, and frees it from crossings of its own.
import { partOfWork, type Work } from '../../base/work.ts';
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoints } from '../../mesh/closest-point.ts';
import { halfEdgeTwins, nextHalfEdge } from '../../mesh/half-edges.ts';
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
 *  a ring more each time a place resists. Cost: a search for crossings of the whole, one more when there were any; between them only
 *  the places found are searched. Weak: sheets that lie in each other over more than a cell stay. */
export function evenOutCrossings(mesh: Mesh, work: Work, options = EVEN_DEFAULTS): Uncrossed {
  const positions = mesh.positions.slice();
  const out = meshOf(positions, mesh.triangles);
  let crossed = selfCrossings(out, partOfWork(work, 0, 0.4));
  for (let turn = 0; turn < options.turns && crossed.pairs > 0; turn++) {
    evenPlaces(mesh, positions, crossed.crossed, options.rounds);
    work.tick(0.5, 'looking for crossings');
    crossed = selfCrossings(out, partOfWork(work, 0.5, 1));
  }
  let moved2 = 0;
  for (let v = 0; v < positions.length; v += 3) {
    const x = positions[v]! - mesh.positions[v]!;
    const y = positions[v + 1]! - mesh.positions[v + 1]!;
    const z = positions[v + 2]! - mesh.positions[v + 2]!;
    moved2 = Math.max(moved2, x * x + y * y + z * z);
  }
  return { mesh: out, crossings: crossed.pairs, movedMm: Math.sqrt(moved2) };
}

const EVEN_DEFAULTS = { rounds: 8, turns: 2 };
/** Rings of triangles round a crossing that are looked at again. */
const RINGS = 5;

/** Several rounds over the neighbourhoods of the crossed triangles, as a small mesh of their own whose border stays. */
function evenPlaces(mesh: Mesh, positions: Float64Array, crossed: Uint8Array, rounds: number): void {
  const near = new Uint8Array(numVerts(mesh));
  for (let h = 0; h < mesh.triangles.length; h++) {
    if (crossed[Math.trunc(h / 3)] === 1) near[mesh.triangles[h]!] = 1;
  }
  for (let ring = 0; ring < RINGS; ring++) spread(mesh.triangles, near);
  const corners: number[] = [];
  const vertOf = new Int32Array(near.length).fill(NONE);
  const verts: number[] = [];
  for (let h = 0; h < mesh.triangles.length; h++) {
    const t = h - (h % 3);
    if (near[mesh.triangles[t]!]! + near[mesh.triangles[t + 1]!]! + near[mesh.triangles[t + 2]!]! < 3) continue;
    const v = mesh.triangles[h]!;
    if (vertOf[v] === NONE) {
      vertOf[v] = verts.length;
      verts.push(v);
    }
    corners.push(vertOf[v]!);
  }
  const small = meshOf(new Float64Array(verts.length * 3), Uint32Array.from(corners));
  verts.forEach((v, n) => {
    for (let c = 0; c < 3; c++) small.positions[n * 3 + c] = positions[v * 3 + c]!;
  });
  evenSmall(small, rounds);
  verts.forEach((v, n) => {
    for (let c = 0; c < 3; c++) positions[v * 3 + c] = small.positions[n * 3 + c]!;
  });
}

function evenSmall(small: Mesh, rounds: number): void {
  const isBorder = new Uint8Array(numVerts(small));
  const twins = halfEdgeTwins(small);
  for (let h = 0; h < twins.length; h++) {
    if (twins[h] === NONE) isBorder[small.triangles[h]!] = isBorder[small.triangles[nextHalfEdge(h)]!] = 1;
  }
  for (let round = 0; round < rounds; round++) {
    const { pairs, crossed } = selfCrossings(small);
    if (pairs === 0) return;
    const marked = new Uint8Array(isBorder.length);
    for (let h = 0; h < small.triangles.length; h++) {
      if (crossed[Math.trunc(h / 3)] === 1) marked[small.triangles[h]!] = 1;
    }
    for (let ring = 0; ring < Math.min(round - 1, RINGS - 2); ring++) spread(small.triangles, marked);
    for (let v = 0; v < marked.length; v++) if (isBorder[v] === 1) marked[v] = 0;
    for (let pass = 0; pass < 2; pass++) toMiddles(small, marked);
  }
}

function spread(triangles: Uint32Array, marked: Uint8Array): void {
  const before = marked.slice();
  for (let h = 0; h < triangles.length; h += 3) {
    const a = triangles[h]!;
    const b = triangles[h + 1]!;
    const c = triangles[h + 2]!;
    if (before[a] === 1 || before[b] === 1 || before[c] === 1) marked[a] = marked[b] = marked[c] = 1;
  }
}

/** Two thirds of the way to the mean of the neighbours. */
function toMiddles({ positions, triangles }: Mesh, marked: Uint8Array): void {
  const sums = new Float64Array(marked.length * 4);
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h]!;
    if (marked[v] === 0) continue;
    const next = triangles[nextHalfEdge(h)]! * 3;
    for (let c = 0; c < 3; c++) sums[v * 4 + c]! += positions[next + c]!;
    sums[v * 4 + 3]!++;
  }
  for (let v = 0; v < marked.length; v++) {
    if (marked[v] === 0) continue;
    for (let c = 0; c < 3; c++) {
      positions[v * 3 + c] = (positions[v * 3 + c]! + (2 * sums[v * 4 + c]!) / sums[v * 4 + 3]!) / 3;
    }
  }
}
