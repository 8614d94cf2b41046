// Triangles that lie on the same three vertices: one is kept, and walls of no thickness cancel.
import { edgeRings } from '../../mesh/edge-rings.ts';
import { previousHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numTris, type Vec3 } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import type { MendStep } from './mend-step.ts';

/** Of triangles that repeat each other one stays, unless two solids have that face in common: then the faces around are there twice over as
 *  well, and both stay, each the face of one solid. Where as many run one way as the other they are a wall of no thickness: both go, so
 *  that what they parted is one, unless an edge would open by it, or they touch nothing else: then they are the two sides of a sheet
 *  and one stays. Cost: O(n). Method: docs/methods/mend.md. */
export function removeDoubleTriangles(mesh: Mesh): { readonly mesh: Mesh; readonly steps: readonly MendStep[] } {
  const ring = edgeRings(mesh);
  const groups = groupDoubles(mesh, ring);
  if (groups.count === 0) return { mesh, steps: [] };
  cancelWalls(ring, groups);
  keepShared(ring, groups);
  const { fate } = groups;
  let count = 0;
  let first = -1;
  for (let t = 0; t < fate.length; t++) {
    if (fate[t] !== GONE) continue;
    if (first < 0) first = t;
    count++;
  }
  if (count === 0) return { mesh, steps: [] };
  const triangles = mesh.triangles.filter((_, h) => fate[Math.trunc(h / 3)] !== GONE);
  const steps: MendStep[] = [{ kind: 'triangles-double-removed', count, largestMm: null, atMm: placeOf(mesh, first) }];
  return { mesh: compactMesh(meshOf(mesh.positions, triangles)), steps };
}

const SINGLE = 0;
const GONE = 1;
/** First of a group in which as many run one way as the other: stays or goes by what is around. */
const EVEN = 2;

interface Groups {
  readonly fate: Uint8Array;
  readonly count: number;
  readonly even: readonly number[];
  /** Repetitions of a triangle that all run its way: each names the one that stays; NONE for all others. */
  readonly repeats: Int32Array;
}

function groupDoubles(mesh: Mesh, ring: Int32Array): Groups {
  const { triangles } = mesh;
  const fate = new Uint8Array(numTris(mesh));
  const even: number[] = [];
  const repeats = new Int32Array(fate.length).fill(NONE);
  let count = 0;
  for (let t = 0; t < fate.length; t++) {
    const h = 3 * t;
    if (fate[t] !== SINGLE || ring[h] === h) continue;
    const apex = triangles[h + 2]!;
    const alike: number[] = [];
    const against: number[] = [];
    for (let g = ring[h]!; g !== h; g = ring[g]!) {
      if (triangles[previousHalfEdge(g)] === apex)
        (triangles[g] === triangles[h] ? alike : against).push(Math.trunc(g / 3));
    }
    if (alike.length + against.length === 0) continue;
    count++;
    for (const u of alike) fate[u] = GONE;
    if (against.length === 0) for (const u of alike) repeats[u] = t;
    for (const u of against) fate[u] = GONE;
    if (alike.length + 1 === against.length) {
      fate[t] = EVEN;
      even.push(t);
    } else if (against.length > alike.length + 1) {
      fate[t] = GONE;
      fate[against[0]!] = SINGLE;
    }
  }
  return { fate, count, even, repeats };
}

/** Each connected wall of even groups, judged as a whole by the edges where it meets other triangles. */
function cancelWalls(ring: Int32Array, { fate, even }: Groups): void {
  const isSeen = new Set<number>();
  for (const seed of even) {
    if (isSeen.has(seed)) continue;
    const wall: number[] = [];
    const stack = [seed];
    isSeen.add(seed);
    let [closes, opens] = [0, 0];
    while (stack.length > 0) {
      const t = stack.pop()!;
      wall.push(t);
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        let others = 0;
        for (let g = ring[h]!; g !== h; g = ring[g]!) {
          const u = Math.trunc(g / 3);
          if (fate[u] === SINGLE) others++;
          if (fate[u] !== EVEN || isSeen.has(u)) continue;
          isSeen.add(u);
          stack.push(u);
        }
        if (others % 2 === 1) opens++;
        else if (others > 0) closes++;
      }
    }
    if (closes > opens) for (const t of wall) fate[t] = GONE;
  }
}

/** Each connected patch of repetitions, judged as a whole by the edges where it meets other triangles: if most have an even number of
 *  faces, the repetitions are needed there to close something, and stay. */
function keepShared(ring: Int32Array, { fate, repeats }: Groups): void {
  const isDouble = (t: number): boolean => repeats[t] !== NONE || first.has(t);
  const first = new Set(repeats.filter((t) => t !== NONE));
  const isSeen = new Set<number>();
  for (const seed of first) {
    if (isSeen.has(seed)) continue;
    const patch = [seed];
    isSeen.add(seed);
    let [even, odd] = [0, 0];
    for (const t of patch) {
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        let [faces, others] = [1, 0];
        for (let g = ring[h]!; g !== h; g = ring[g]!) {
          const u = Math.trunc(g / 3);
          faces++;
          if (!isDouble(u)) others++;
          else if (!isSeen.has(u)) {
            isSeen.add(u);
            patch.push(u);
          }
        }
        if (others > 0 && faces % 2 === 0) even++;
        else if (others > 0) odd++;
      }
    }
    if (even > odd) for (const t of patch) if (repeats[t] !== NONE) fate[t] = SINGLE;
  }
}

function placeOf({ positions, triangles }: Mesh, t: number): Vec3 {
  const v = 3 * triangles[3 * t]!;
  return [positions[v]!, positions[v + 1]!, positions[v + 2]!];
}
