// Triangles with a corner that is no finite number: left out and said, since nothing can be computed with them.
import { done, finding, type Outcome, refuse } from '../base/findings.ts';
import { type Mesh, meshOf } from '../mesh/mesh.ts';

export interface LeaveOutPlace {
  /** Name of the format, for messages. */
  readonly path: string;
  /** Where the first such number stands, in words; empty when it is not known. */
  readonly first: string;
}

/** Keeps the triangles whose corners are all finite. Vertices stay. Cost: O(n).
 *  Findings: CORNERS_NOT_FINITE.  Refuses: COORDINATE_NOT_FINITE when no triangle is left of some. */
export function leaveOutNotFinite(mesh: Mesh, place: LeaveOutPlace): Outcome<Mesh> {
  const { positions: p, triangles } = mesh;
  if (isAllFinite(p)) return done(mesh);
  const kept = new Uint32Array(triangles.length);
  let used = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    let sum = 0;
    for (let k = t; k < t + 3; k++) {
      const at = triangles[k]! * 3;
      sum += p[at]! * 0 + p[at + 1]! * 0 + p[at + 2]! * 0; // 0, or NaN
    }
    if (sum !== 0) continue;
    kept[used] = triangles[t]!;
    kept[used + 1] = triangles[t + 1]!;
    kept[used + 2] = triangles[t + 2]!;
    used += 3;
  }
  const outcome = saidLeftOut({ total: triangles.length / 3, kept: used / 3 }, place);
  return outcome.ok ? done(meshOf(p, kept.slice(0, used)), outcome.findings) : outcome;
}

/** The same for a soup of 9 numbers a triangle. */
export function leaveOutCorners(corners: Float32Array, place: LeaveOutPlace): Outcome<Float32Array> {
  if (isAllFinite(corners)) return done(corners);
  const kept = new Float32Array(corners.length);
  let used = 0;
  for (let at = 0; at < corners.length; at += 9) {
    let sum = 0;
    for (let k = at; k < at + 9; k++) sum += corners[k]! * 0;
    if (sum !== 0) continue;
    kept.set(corners.subarray(at, at + 9), used);
    used += 9;
  }
  const outcome = saidLeftOut({ total: corners.length / 9, kept: used / 9 }, place);
  return outcome.ok ? done(kept.slice(0, used), outcome.findings) : outcome;
}

function saidLeftOut(count: { total: number; kept: number }, { path, first }: LeaveOutPlace): Outcome<null> {
  const left = count.total - count.kept;
  if (left === 0) return done(null);
  const place = first === '' ? '' : ` (the first in ${first})`;
  const where = { path: first === '' ? path : `${path}: ${first}` };
  if (count.kept === 0)
    return refuse('COORDINATE_NOT_FINITE', `All ${left} triangles have a corner that is not a finite number${place}.`, {
      where,
    });
  const say = `${left} of ${count.total} triangles have a corner that is not a finite number${place}; they were left out.`;
  return done(null, [finding('CORNERS_NOT_FINITE', say, { where, measured: left, limit: 0 })]);
}

export function isAllFinite(values: Float64Array | Float32Array): boolean {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]! * 0;
  return sum === 0;
}
