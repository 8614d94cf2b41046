// Who is next to whom across an edge: two by two, also where four or more faces meet.
import { nextHalfEdge, previousHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, NONE } from '../../mesh/mesh.ts';

export interface PairedEdges {
  /** numTris*3: the half-edge across; NONE where the surface is open, and where it is cut. */
  readonly mates: Int32Array;
  /** Edges with more than two faces. */
  readonly crowded: number;
  /** A half-edge of the first of them; NONE. */
  readonly firstCrowded: number;
  /** Their ends. */
  readonly crowdedVerts: ReadonlySet<number>;
  /** Per half-edge 1 where a crowded edge had no partner for it. */
  readonly isLeftOver: Uint8Array;
}

/** Faces at a crowded edge are paired so that each pair has material between its two, going round the edge; nested pairs nest. Faces
 *  without a partner (an inner wall, a flap) and edges whose two faces run the same way are left open. Cost: O(n).
 *  Method: faces sorted by angle, matched like brackets; docs/methods/mend.md. Weak: trusts that most faces there look outward. */
export function pairEdges(mesh: Mesh, ring: Int32Array): PairedEdges {
  const mates = new Int32Array(ring.length).fill(NONE);
  const isLeftOver = new Uint8Array(ring.length);
  const isDone = new Uint8Array(ring.length);
  const crowdedVerts = new Set<number>();
  let [crowded, firstCrowded] = [0, NONE as number];
  for (let h = 0; h < ring.length; h++) {
    const g = ring[h]!;
    if (g === h || isDone[h] === 1) continue;
    if (ring[g] === h) {
      if (mesh.triangles[g] !== mesh.triangles[h]) mates[h] = g;
      continue;
    }
    crowded++;
    if (firstCrowded === NONE) firstCrowded = h;
    crowdedVerts.add(mesh.triangles[h]!).add(mesh.triangles[nextHalfEdge(h)]!);
    const faces = [h];
    for (let f = g; f !== h; f = ring[f]!) faces.push(f);
    for (const f of faces) isDone[f] = 1;
    matchRound(sortedRound(mesh, faces), mates);
    for (const f of faces) if (mates[f] === NONE) isLeftOver[f] = 1;
  }
  return { mates, crowded, firstCrowded, crowdedVerts, isLeftOver };
}

interface Face {
  readonly halfEdge: number;
  /** About the edge, counter-clockwise seen from its end. */
  readonly angle: number;
  /** Going round by growing angle: the face leads into material (its half-edge runs against the edge) or out of it. */
  readonly isWayIn: boolean;
}

/** Ways out come before ways in at the same angle, so that faces that lie together part the two solids. */
function sortedRound(mesh: Mesh, faces: readonly number[]): readonly Face[] {
  const { positions: p, triangles } = mesh;
  const a = Math.min(triangles[faces[0]!]!, triangles[nextHalfEdge(faces[0]!)]!);
  const b = Math.max(triangles[faces[0]!]!, triangles[nextHalfEdge(faces[0]!)]!);
  const u = unit([0, 1, 2].map((c) => p[3 * b + c]! - p[3 * a + c]!));
  const away = (h: number): number[] => {
    const apex = triangles[previousHalfEdge(h)]!;
    const w = [0, 1, 2].map((c) => p[3 * apex + c]! - p[3 * a + c]!);
    const along = dot(w, u);
    return w.map((x, c) => x - along * u[c]!);
  };
  const e = unit(away(faces[0]!));
  const f = [u[1]! * e[2]! - u[2]! * e[1]!, u[2]! * e[0]! - u[0]! * e[2]!, u[0]! * e[1]! - u[1]! * e[0]!];
  return faces
    .map((halfEdge): Face => {
      const w = away(halfEdge);
      const angle = Math.atan2(dot(w, f), dot(w, e));
      return { halfEdge, angle: Math.abs(angle) < 1e-9 ? 0 : angle, isWayIn: triangles[halfEdge] === b };
    })
    .sort((s, t) => s.angle - t.angle || Number(s.isWayIn) - Number(t.isWayIn) || s.halfEdge - t.halfEdge);
}

/** Twice round, so that a pair may lie across the beginning. */
function matchRound(round: readonly Face[], mates: Int32Array): void {
  const waiting: number[] = [];
  for (const { halfEdge, isWayIn } of [...round, ...round]) {
    if (mates[halfEdge] !== NONE) continue;
    if (isWayIn) {
      if (!waiting.includes(halfEdge)) waiting.push(halfEdge);
      continue;
    }
    const mate = waiting.pop();
    if (mate === undefined) continue;
    mates[halfEdge] = mate;
    mates[mate] = halfEdge;
  }
}

function unit(v: readonly number[]): number[] {
  const length = Math.hypot(...v) || 1;
  return v.map((x) => x / length);
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
}
