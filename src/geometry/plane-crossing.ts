// Where one plane crosses a mesh: which side each vertex lies on, which triangles are cut and at which edges.
// Shared by the section (which draws it) and the split (which cuts along it), so that both agree to the bit.
import type { Mesh, Vec3 } from '../mesh/mesh.ts';
import type { Plane } from './plane.ts';
import { CrossingTable } from './section-loops.ts';

export interface PlaneCrossing {
  /** numVerts: distance above the plane, or above the lifted cut, mm. A vertex is below when this is < 0; one on it counts as above. */
  readonly heights: Float64Array;
  /** Triangles with vertices on both sides, in mesh order; each carries one segment. */
  readonly cutTris: Uint32Array;
  /** Per cut triangle: crossing where its segment starts and ends; the solid lies to its left seen from above. */
  readonly start: Uint32Array;
  readonly end: Uint32Array;
  /** Per crossing: its edge. */
  readonly lowVert: Uint32Array;
  readonly highVert: Uint32Array;
  /** numCrossings x 3: computed once per edge, from the lower vertex to the upper. */
  readonly points: Float64Array;
  /** Triangles wholly below the plane. */
  readonly numBelow: number;
}

/** With `lift` (numVerts, mm) the cut passes that far above the plane at each vertex, and straight between them along every edge.
 *  Cost: O(n) with about 10 ms per million triangles; the cut triangles alone are hashed. Any mesh, closed or not. */
export function planeCrossing(mesh: Mesh, plane: Plane, lift?: Float64Array): PlaneCrossing {
  const heights = vertHeights(mesh.positions, plane.normal, plane.offsetMm);
  if (lift !== undefined) for (let v = 0; v < heights.length; v++) heights[v] = heights[v]! - lift[v]!;
  const { cutTris, numBelow } = findCutTris(mesh.triangles, heights);
  const start = new Uint32Array(cutTris.length);
  const end = new Uint32Array(cutTris.length);
  const table = new CrossingTable();
  table.clear(cutTris.length * 2);
  for (let s = 0; s < cutTris.length; s++) {
    const t = cutTris[s]! * 3;
    const lone = loneCorner(mesh.triangles, t, heights);
    const a = mesh.triangles[t + lone]!;
    const next = mesh.triangles[t + ((lone + 1) % 3)]!;
    const last = mesh.triangles[t + ((lone + 2) % 3)]!;
    if (heights[a]! < 0) {
      start[s] = table.handle(a, last);
      end[s] = table.handle(a, next);
    } else {
      start[s] = table.handle(next, a);
      end[s] = table.handle(last, a);
    }
  }
  const lowVert = table.lowVert.slice(0, table.count);
  const highVert = table.highVert.slice(0, table.count);
  const points = crossingPoints(mesh.positions, heights, lowVert, highVert);
  return { heights, cutTris, start, end, lowVert, highVert, points, numBelow };
}

/** The corner (0, 1, 2) of a cut triangle that has a side of the plane to itself. t is 3 x triangle. */
export function loneCorner(triangles: Uint32Array, t: number, heights: Float64Array): number {
  const below0 = heights[triangles[t]!]! < 0;
  const below1 = heights[triangles[t + 1]!]! < 0;
  if (below0 === below1) return 2;
  return below0 === heights[triangles[t + 2]!]! < 0 ? 1 : 0;
}

/** normal . p - offsetMm per vertex. */
export function vertHeights(positions: Float64Array, normal: Vec3, offsetMm: number): Float64Array {
  const [nx, ny, nz] = normal;
  const heights = new Float64Array(positions.length / 3);
  for (let v = 0, i = 0; v < heights.length; v++, i += 3)
    heights[v] = nx * positions[i]! + ny * positions[i + 1]! + nz * positions[i + 2]! - offsetMm;
  return heights;
}

function findCutTris(triangles: Uint32Array, heights: Float64Array): { cutTris: Uint32Array; numBelow: number } {
  let cutTris = new Uint32Array(4096);
  let numCut = 0;
  let numBelow = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const below0 = heights[triangles[t]!]! < 0;
    const below1 = heights[triangles[t + 1]!]! < 0;
    const below2 = heights[triangles[t + 2]!]! < 0;
    if (below0 === below1 && below1 === below2) {
      if (below0) numBelow++;
      continue;
    }
    if (numCut === cutTris.length) {
      const larger = new Uint32Array(numCut * 2);
      larger.set(cutTris);
      cutTris = larger;
    }
    cutTris[numCut++] = t / 3;
  }
  return { cutTris: cutTris.slice(0, numCut), numBelow };
}

/** The crossings of a plane moved a little into the gap between the nearest vertices on either side, or null when no vertex of
 *  a cut edge lies on or very near the plane. The same edges are cut, so the contours have the same corners in the same order,
 *  but none coincide: at a ridge or a flat face in the plane this tells inside from outside. */
export function pointsApart(mesh: Mesh, crossing: PlaneCrossing): Float64Array | null {
  const { heights, lowVert, highVert, points } = crossing;
  let below = Infinity;
  let above = Infinity;
  for (let c = 0; c < lowVert.length; c++) {
    below = Math.min(below, -heights[lowVert[c]!]!);
    above = Math.min(above, heights[highVert[c]!]!);
  }
  const sizeMm = points.reduce((size, value) => Math.max(size, Math.abs(value)), 0);
  if (Math.min(below, above) > NEAR * sizeMm) return null;
  const shiftMm = Math.max(-MOST * sizeMm, Math.min(MOST * sizeMm, (above - below) / 2));
  return crossingPoints(
    mesh.positions,
    heights.map((h) => h - shiftMm),
    lowVert,
    highVert,
  );
}

/** Shares of the size: what counts as near, and the largest shift (0.3 nm and 0.3 um on a helmet of 300 mm). */
const NEAR = 1e-9;
const MOST = 1e-6;

/** (1 - s) * low + s * high: gives the upper vertex itself, to the bit, when that lies on the plane. */
function crossingPoints(
  positions: Float64Array,
  heights: Float64Array,
  lowVert: Uint32Array,
  highVert: Uint32Array,
): Float64Array {
  const points = new Float64Array(lowVert.length * 3);
  for (let c = 0; c < lowVert.length; c++) {
    const low = lowVert[c]!;
    const high = highVert[c]!;
    const s = heights[low]! / (heights[low]! - heights[high]!);
    for (let k = 0; k < 3; k++) points[c * 3 + k] = (1 - s) * positions[low * 3 + k]! + s * positions[high * 3 + k]!;
  }
  return points;
}
