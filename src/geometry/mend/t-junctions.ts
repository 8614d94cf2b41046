// Where a vertex of one side of a seam lies in the middle of an edge of the other: that edge is split there, and the seam closes.
import { edgeRings, openHalfEdges, openVerts } from '../../mesh/edge-rings.ts';
import { nextHalfEdge, previousHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts, type Vec3 } from '../../mesh/mesh.ts';
import type { MendStep } from './mend-step.ts';
import { vertexGrid, vertsInBox } from './vertex-grid.ts';

/** Splits triangles at open vertices that lie within `withinMm` of one of their open edges, where that closes an edge. No vertex moves.
 *  Cost: O(open edges) each round and O(n) for each round that splits. Method: docs/methods/mend.md. */
export function splitTJunctions(
  mesh: Mesh,
  withinMm: number,
): { readonly mesh: Mesh; readonly steps: readonly MendStep[] } {
  let now = mesh;
  let count = 0;
  let largestMm = 0;
  let atMm: Vec3 | null = null;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const open = openHalfEdges(edgeRings(now));
    if (open.length === 0) break;
    const on = vertsOnOpenEdges(now, open, withinMm);
    const chains = closingChains(now, open, on);
    if (chains.verts.length === 0) break;
    count += chains.verts.length;
    if (chains.farthestMm >= largestMm || atMm === null) {
      largestMm = chains.farthestMm;
      const v = 3 * chains.farthest;
      atMm = [now.positions[v]!, now.positions[v + 1]!, now.positions[v + 2]!];
    }
    now = split(now, chains);
  }
  return { mesh: now, steps: count === 0 ? [] : [{ kind: 'edges-split', count, largestMm, atMm }] };
}

/** A triangle is split along one of its edges in a round; seams whose sides interleave need several. */
const MOST_ROUNDS = 12;

/** Parallel: a half-edge, a vertex on it, how far along (0 to 1) and how far off. In the order of half-edges and along each. */
export interface OnEdges {
  readonly halfEdges: readonly number[];
  readonly verts: readonly number[];
  readonly offMm: readonly number[];
}

/** Vertices of open edges that lie within `withinMm` of the inside of an open edge which they do not end. */
export function vertsOnOpenEdges(mesh: Mesh, open: Int32Array, withinMm: number): OnEdges {
  const { triangles, positions } = mesh;
  const verts = openVerts(mesh, open);
  const grid = vertexGrid(positions, verts, Math.max(meanLength(mesh, open), 2 * withinMm));
  const out = { halfEdges: [] as number[], verts: [] as number[], offMm: [] as number[] };
  const near: number[] = [];
  for (const h of open) {
    const a = triangles[h]!;
    const b = triangles[nextHalfEdge(h)]!;
    near.length = 0;
    vertsInBox(grid, [a, b], withinMm, near);
    const on: { v: number; along: number; off: number }[] = [];
    for (const v of near) {
      if (v === a || v === b || v === triangles[previousHalfEdge(h)]) continue;
      const place = placeOnEdge(positions, [a, b], v, withinMm);
      if (place !== null) on.push({ v, ...place });
    }
    on.sort((p, q) => p.along - q.along || p.v - q.v);
    for (const { v, off } of on) {
      out.halfEdges.push(h);
      out.verts.push(v);
      out.offMm.push(off);
    }
  }
  return out;
}

function meanLength({ positions: p, triangles }: Mesh, open: Int32Array): number {
  let sum = 0;
  for (const h of open) {
    const a = 3 * triangles[h]!;
    const b = 3 * triangles[nextHalfEdge(h)]!;
    sum += Math.hypot(p[a]! - p[b]!, p[a + 1]! - p[b + 1]!, p[a + 2]! - p[b + 2]!) / open.length;
  }
  return sum > 0 ? sum : 1;
}

function placeOnEdge(
  p: Float64Array,
  [a, b]: readonly [number, number],
  v: number,
  withinMm: number,
): { along: number; off: number } | null {
  const [ux, uy, uz] = [0, 1, 2].map((c) => p[3 * b + c]! - p[3 * a + c]!) as [number, number, number];
  const [wx, wy, wz] = [0, 1, 2].map((c) => p[3 * v + c]! - p[3 * a + c]!) as [number, number, number];
  const length = Math.hypot(ux, uy, uz);
  const along = (ux * wx + uy * wy + uz * wz) / (length * length);
  const off = Math.hypot(wx - along * ux, wy - along * uy, wz - along * uz);
  // not at the ends: those are for joining vertices
  if (!(off <= withinMm) || !(along * length > withinMm) || !((1 - along) * length > withinMm)) return null;
  return { along, off };
}

interface Chains {
  readonly halfEdges: readonly number[];
  readonly verts: readonly number[];
  readonly farthestMm: number;
  readonly farthest: number;
}

/** Keeps the vertices that, put into the edge, make a part of it that has a counterpart; one edge for each triangle. */
function closingChains(mesh: Mesh, open: Int32Array, on: OnEdges): Chains {
  const { triangles } = mesh;
  const n = numVerts(mesh);
  const key = (a: number, b: number): number => (a < b ? a * n + b : b * n + a);
  const openSides = new Set<number>();
  for (const h of open) openSides.add(key(triangles[h]!, triangles[nextHalfEdge(h)]!));
  const kept = { halfEdges: [] as number[], verts: [] as number[] };
  let farthestMm = 0;
  let farthest: number = NONE;
  const isTaken = new Set<number>();
  for (let i = 0; i < on.verts.length; ) {
    const h = on.halfEdges[i]!;
    let end = i;
    while (end < on.verts.length && on.halfEdges[end] === h) end++;
    const chain = [triangles[h]!, ...on.verts.slice(i, end), triangles[nextHalfEdge(h)]!];
    for (let j = 1; j + 1 < chain.length && !isTaken.has(Math.trunc(h / 3)); j++) {
      const closes = openSides.has(key(chain[j - 1]!, chain[j]!)) || openSides.has(key(chain[j]!, chain[j + 1]!));
      if (!closes) continue;
      kept.halfEdges.push(h);
      kept.verts.push(chain[j]!);
      const off = on.offMm[i + j - 1]!;
      if (off >= farthestMm) [farthestMm, farthest] = [off, chain[j]!];
    }
    if (kept.halfEdges.at(-1) === h) isTaken.add(Math.trunc(h / 3));
    i = end;
  }
  return { ...kept, farthestMm, farthest };
}

/** (a b c) with v w on a b becomes (a v c), (v w c), (w b c). */
function split(mesh: Mesh, { halfEdges, verts }: Chains): Mesh {
  const triangles = new Uint32Array(mesh.triangles.length + 3 * verts.length);
  triangles.set(mesh.triangles);
  let at = mesh.triangles.length;
  for (let i = 0; i < verts.length; i++) {
    const h = halfEdges[i]!;
    const apex = triangles[previousHalfEdge(h)]!;
    // the rest of the edge keeps its triangle; its part up to the vertex becomes a new one
    triangles[at] = triangles[h]!;
    triangles[at + 1] = verts[i]!;
    triangles[at + 2] = apex;
    triangles[h] = verts[i]!;
    at += 3;
  }
  return meshOf(mesh.positions, triangles);
}
