// Looks a surface over before anything is changed: every way in which it is not the boundary of a solid, counted, with a place.
import { cornerFans, pinchedVerts } from '../../mesh/corner-fans.ts';
import { edgeRings, openHalfEdges } from '../../mesh/edge-rings.ts';
import { nextHalfEdge, previousHalfEdge } from '../../mesh/half-edges.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, NONE, numTris, type Vec3 } from '../../mesh/mesh.ts';
import { isFlat } from './flat-triangles.ts';
import { vertsOnOpenEdges } from './t-junctions.ts';

export interface Defect {
  readonly count: number;
  /** Where the first one is, in the space of the mesh; null when there is none. */
  readonly atMm: Vec3 | null;
}

export interface Defects {
  /** Edges with one face. */
  readonly openEdges: Defect;
  /** Ways along open edges, each followed round the fan of its vertices: two that touch at a vertex count as two. */
  readonly openLoops: number;
  /** Edges with more than two faces. */
  readonly crowdedEdges: Defect;
  /** Edges whose two faces run the same way. */
  readonly clashingEdges: Defect;
  /** Vertices at which more than one fan meets. */
  readonly pinchedVerts: Defect;
  /** Triangles on the same three vertices as one before them. */
  readonly doubleTriangles: Defect;
  /** Triangles whose height is under 1e-6 of their longest edge. */
  readonly flatTriangles: Defect;
  /** Vertices of open edges that lie on another open edge (within 1e-6 of the whole diagonal). */
  readonly tJunctions: Defect;
  /** Parts that hang together through edges, of however many faces. */
  readonly shells: number;
  /** No defect of any kind. */
  readonly isClean: boolean;
}

/** mesh: welded exactly, no triangle with a repeated vertex. Cost: O(n), about 0.4 s per million triangles; more for open edges.
 *  Method: docs/methods/mend.md. Weak: combinatorial; surfaces that cross each other are another question (self-crossings). */
export function findDefects(mesh: Mesh): Defects {
  const ring = edgeRings(mesh);
  const edges = countEdges(mesh, ring);
  const open = openHalfEdges(ring);
  const fanOf = cornerFans(mesh, ring);
  const pinched = pinchedVerts(mesh, fanOf);
  const found = {
    openEdges: edgeDefect(mesh, open.length, open[0] ?? NONE),
    crowdedEdges: edgeDefect(mesh, edges.crowded, edges.firstCrowded),
    clashingEdges: edgeDefect(mesh, edges.clashing, edges.firstClashing),
    pinchedVerts: { count: pinched.count, atMm: vertPlace(mesh, pinched.first) },
    doubleTriangles: countTriangles(mesh, (t) => isRepeated(mesh, ring, t)),
    flatTriangles: countTriangles(mesh, (t) => isFlat(mesh.positions, mesh.triangles, t)),
    tJunctions: countTJunctions(mesh, open),
  };
  const isClean = Object.values(found).every(({ count }) => count === 0);
  return { ...found, openLoops: countLoops(mesh, ring, open), shells: countShells(ring), isClean };
}

interface EdgeCounts {
  readonly crowded: number;
  readonly firstCrowded: number;
  readonly clashing: number;
  readonly firstClashing: number;
}

function countEdges({ triangles }: Mesh, ring: Int32Array): EdgeCounts {
  let [crowded, firstCrowded, clashing, firstClashing] = [0, NONE, 0, NONE];
  for (let h = 0; h < ring.length; h++) {
    const g = ring[h]!;
    if (g === h) continue;
    if (ring[g] === h) {
      if (h > g || triangles[h] !== triangles[g]) continue;
      clashing++;
      if (firstClashing === NONE) firstClashing = h;
    } else if (isFirstOf(ring, h)) {
      crowded++;
      if (firstCrowded === NONE) firstCrowded = h;
    }
  }
  return { crowded, firstCrowded, clashing, firstClashing };
}

function isFirstOf(ring: Int32Array, h: number): boolean {
  for (let g = ring[h]!; g !== h; g = ring[g]!) if (g < h) return false;
  return true;
}

function isRepeated({ triangles }: Mesh, ring: Int32Array, t: number): boolean {
  const h = 3 * t;
  const apex = triangles[h + 2]!;
  for (let g = ring[h]!; g !== h; g = ring[g]!) {
    if (g < h && triangles[previousHalfEdge(g)] === apex) return true;
  }
  return false;
}

function countTriangles(mesh: Mesh, isOne: (t: number) => boolean): Defect {
  let count = 0;
  let first = NONE;
  for (let t = 0; t < numTris(mesh); t++) {
    if (!isOne(t)) continue;
    count++;
    if (first === NONE) first = t;
  }
  return { count, atMm: vertPlace(mesh, first === NONE ? NONE : mesh.triangles[3 * first]!) };
}

/** Tight: what lies this near an edge was put on it. Mending looks wider. */
const ON_EDGE = 1e-6;

function countTJunctions(mesh: Mesh, open: Int32Array): Defect {
  if (open.length === 0) return { count: 0, atMm: null };
  const within = ON_EDGE * Math.hypot(...sizeOf(bounds(mesh)));
  const { verts } = vertsOnOpenEdges(mesh, open, within);
  const different = Array.from(new Set(verts));
  return { count: different.length, atMm: vertPlace(mesh, different[0] ?? NONE) };
}

function countLoops(mesh: Mesh, ring: Int32Array, open: Int32Array): number {
  const seen = new Uint8Array(ring.length);
  let loops = 0;
  for (const first of open) {
    if (seen[first] === 1) continue;
    loops++;
    for (let h = first; h !== NONE && seen[h] === 0; h = roundTheFan(mesh, ring, h)) seen[h] = 1;
  }
  return loops;
}

/** The open half-edge that leaves the end of h in the same fan; NONE where a crowded or clashing edge is in the way. */
function roundTheFan({ triangles }: Mesh, ring: Int32Array, h: number): number {
  let g = nextHalfEdge(h);
  while (ring[g] !== g) {
    const mate = ring[g]!;
    if (ring[mate] !== g || triangles[mate] === triangles[g]) return NONE;
    g = nextHalfEdge(mate);
  }
  return g;
}

function countShells(ring: Int32Array): number {
  const isSeen = new Uint8Array(ring.length / 3);
  const stack = new Int32Array(ring.length / 3);
  let shells = 0;
  for (let seed = 0; seed < isSeen.length; seed++) {
    if (isSeen[seed] === 1) continue;
    shells++;
    let depth = 0;
    stack[depth++] = seed;
    isSeen[seed] = 1;
    while (depth > 0) {
      const t = stack[--depth]!;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        for (let g = ring[h]!; g !== h; g = ring[g]!) {
          const u = Math.trunc(g / 3);
          if (isSeen[u] === 1) continue;
          isSeen[u] = 1;
          stack[depth++] = u;
        }
      }
    }
  }
  return shells;
}

function edgeDefect({ positions, triangles }: Mesh, count: number, first: number): Defect {
  if (first === NONE) return { count, atMm: null };
  const a = 3 * triangles[first]!;
  const b = 3 * triangles[nextHalfEdge(first)]!;
  const mid = (c: number): number => (positions[a + c]! + positions[b + c]!) / 2;
  return { count, atMm: [mid(0), mid(1), mid(2)] };
}

function vertPlace({ positions }: Mesh, vert: number): Vec3 | null {
  if (vert === NONE) return null;
  return [positions[3 * vert]!, positions[3 * vert + 1]!, positions[3 * vert + 2]!];
}
