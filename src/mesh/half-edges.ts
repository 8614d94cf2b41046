// Which half-edges run along the same edge: the adjacency everything else is read from.
import { type Mesh, NONE, numVerts } from './mesh.ts';

/** Half-edge h = 3*tri + corner runs from triangles[h] to the next corner of its triangle. */
export interface HalfEdges {
  /** numTris*3: the half-edge the other way along the same edge; NONE unless exactly two faces meet there, running opposite ways. */
  readonly twins: Int32Array;
  /** Different pairs of vertices joined by a side of a triangle. */
  readonly edges: number;
  /** Edges with one face only. */
  readonly openEdges: number;
  /** Edges with more than two faces. */
  readonly crowdedEdges: number;
  /** Edges whose two faces run the same way. */
  readonly clashingEdges: number;
}

/** Cost: O(n), two passes over half-edges bucketed by their smaller vertex; no hashing. Handles any input, also repeated
 *  vertices in a triangle (such an edge counts as open). Method: docs/methods/topology.md. */
export function halfEdges(mesh: Mesh): HalfEdges {
  const { triangles } = mesh;
  const twins = new Int32Array(triangles.length).fill(NONE);
  const { start, order } = bucketBySmallerVertex(mesh);
  const slot = new Int32Array(numVerts(mesh)).fill(NONE);
  const next = new Int32Array(triangles.length).fill(NONE);
  const count = { edges: 0, openEdges: 0, crowdedEdges: 0, clashingEdges: 0 };
  for (let v = 0; v + 1 < start.length; v++) {
    const from = start[v]!;
    const to = start[v + 1]!;
    for (let i = from; i < to; i++) {
      const h = order[i]!;
      const o = largerVertex(triangles, h);
      next[h] = slot[o]!;
      slot[o] = h;
    }
    for (let i = from; i < to; i++) {
      const o = largerVertex(triangles, order[i]!);
      const first = slot[o]!;
      if (first === NONE) continue;
      slot[o] = NONE;
      classify(triangles, first, { next, twins, count });
    }
  }
  return { twins, ...count };
}

export function halfEdgeTwins(mesh: Mesh): Int32Array {
  return halfEdges(mesh).twins;
}

/** The half-edge after h in its triangle. */
export function nextHalfEdge(h: number): number {
  return h % 3 === 2 ? h - 2 : h + 1;
}

/** The half-edge before h in its triangle. */
export function previousHalfEdge(h: number): number {
  return h % 3 === 0 ? h + 2 : h - 1;
}

function bucketBySmallerVertex(mesh: Mesh): { start: Uint32Array; order: Uint32Array } {
  const { triangles } = mesh;
  const start = new Uint32Array(numVerts(mesh) + 1);
  for (let h = 0; h < triangles.length; h++) {
    const smaller = Math.min(triangles[h]!, triangles[nextHalfEdge(h)]!) + 1;
    start[smaller] = start[smaller]! + 1;
  }
  for (let v = 1; v < start.length; v++) start[v] = start[v]! + start[v - 1]!;
  const fill = start.slice();
  const order = new Uint32Array(triangles.length);
  for (let h = 0; h < triangles.length; h++) {
    const smaller = Math.min(triangles[h]!, triangles[nextHalfEdge(h)]!);
    const at = fill[smaller]!;
    order[at] = h;
    fill[smaller] = at + 1;
  }
  return { start, order };
}

interface Chains {
  readonly next: Int32Array;
  readonly twins: Int32Array;
  readonly count: { edges: number; openEdges: number; crowdedEdges: number; clashingEdges: number };
}

function classify(triangles: Uint32Array, first: number, { next, twins, count }: Chains): void {
  const second = next[first]!;
  count.edges++;
  if (second === NONE) count.openEdges++;
  else if (next[second]! !== NONE) count.crowdedEdges++;
  else if (triangles[first]! === triangles[second]!) count.clashingEdges++;
  else {
    twins[first] = second;
    twins[second] = first;
  }
}

function largerVertex(triangles: Uint32Array, h: number): number {
  return Math.max(triangles[h]!, triangles[nextHalfEdge(h)]!);
}
