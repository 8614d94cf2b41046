// Moves a plane a little so that it keeps away from vertices: a cut through or beside one leaves slivers.
import type { Mesh } from '../mesh/mesh.ts';
import type { Plane } from './plane.ts';
import { vertHeights } from './plane-crossing.ts';

export interface PlaneAway {
  readonly plane: Plane;
  /** Along the normal, signed; at most the slack. */
  readonly movedMm: number;
  /** Distance to the nearest vertex that was reached. */
  readonly keptMm: number;
}

/** The plane within +-slackMm of the one asked for that lies farthest from every vertex: the middle of the widest gap between
 *  vertex heights. Of equally wide gaps the one nearer to the plane asked for is taken.
 *  Cost: O(n + w log w) with w vertices within the slack. Weak: keeps away from vertices, not from faces nearly parallel. */
export function planeAwayFromVerts(mesh: Mesh, plane: Plane, slackMm: number): PlaneAway {
  const heights = vertHeights(mesh.positions, plane.normal, plane.offsetMm);
  const rungs = heightsWithin(heights, slackMm);
  let movedMm = 0;
  let keptMm = -1;
  for (let i = 0; i + 1 < rungs.length; i++) {
    const low = rungs[i]!;
    const high = rungs[i + 1]!;
    const at = Math.min(slackMm, Math.max(-slackMm, middle(low, high)));
    const kept = Math.min(at - low, high - at);
    if (kept > keptMm || (kept === keptMm && Math.abs(at) < Math.abs(movedMm))) {
      keptMm = kept;
      movedMm = at;
    }
  }
  return { plane: { normal: plane.normal, offsetMm: plane.offsetMm + movedMm }, movedMm, keptMm };
}

/** Sorted heights inside the window, with the nearest one outside on either side (or infinity). */
function heightsWithin(heights: Float64Array, slackMm: number): Float64Array {
  let nearestBelow = -Infinity;
  let nearestAbove = Infinity;
  let count = 0;
  for (const h of heights) {
    if (h < -slackMm) nearestBelow = Math.max(nearestBelow, h);
    else if (h > slackMm) nearestAbove = Math.min(nearestAbove, h);
    else count++;
  }
  const rungs = new Float64Array(count + 2);
  let filled = 0;
  rungs[filled++] = nearestBelow;
  for (const h of heights) if (h >= -slackMm && h <= slackMm) rungs[filled++] = h;
  rungs[filled] = nearestAbove;
  return rungs.sort();
}

function middle(low: number, high: number): number {
  if (low === -Infinity && high === Infinity) return 0;
  if (low === -Infinity) return -Infinity;
  return high === Infinity ? Infinity : (low + high) / 2;
}

/** A lift (numVerts, mm over the plane) that passes no vertex nearer than keepMm along the normal: where it would, it is moved just
 *  that far to the side on which the vertex lies already. Where the lift is 0 it stays 0: there the plane itself keeps away.
 *  Cost: O(n). */
export function liftAwayFromVerts(heights: Float64Array, lift: Float64Array, keepMm: number): Float64Array {
  return lift.map((up, v) => {
    if (up === 0) return 0;
    const over = heights[v]! - up;
    if (Math.abs(over) >= keepMm) return up;
    return heights[v]! - (over < 0 ? -keepMm : keepMm);
  });
}
