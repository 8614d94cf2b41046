// Triangles that lie on the same three vertices: one is kept, and walls of no thickness cancel.
import { edgeRings } from '../../mesh/edge-rings.ts';
import { previousHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import type { MendStep } from './mend-step.ts';

/** Of triangles that repeat each other one stays. Where as many run one way as the other they are a wall of no thickness: both go, so
 *  that what they parted is one, unless an edge would open by it, or they touch nothing else: then they are the two sides of a sheet
 *  and one stays. Cost: O(n). Method: docs/methods/mend.md. */
export function removeDoubleTriangles(mesh: Mesh): { readonly mesh: Mesh; readonly steps: readonly MendStep[] } {
  const ring = edgeRings(mesh);
  const groups = groupDoubles(mesh, ring);
  if (groups.count === 0) return { mesh, steps: [] };
  cancelWalls(ring, groups);
  const { fate } = groups;
  let count = 0;
  let first = -1;
  for (let t = 0; t < fate.length; t++) {
    if (fate[t] !== GONE) continue;
    if (first < 0) first = t;
    count++;
  }
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
}

function groupDoubles(mesh: Mesh, ring: Int32Array): Groups {
  const { triangles } = mesh;
  const fate = new Uint8Array(numTris(mesh));
  const even: number[] = [];
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
    for (const u of against) fate[u] = GONE;
    if (alike.length + 1 === against.length) {
      fate[t] = EVEN;
      even.push(t);
    } else if (against.length > alike.length + 1) {
      fate[t] = GONE;
      fate[against[0]!] = SINGLE;
    }
  }
  return { fate, count, even };
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

function placeOf({ positions, triangles }: Mesh, t: number): Vec3 {
  const v = 3 * triangles[3 * t]!;
  return [positions[v]!, positions[v + 1]!, positions[v + 2]!];
}
