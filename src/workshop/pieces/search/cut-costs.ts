// What a cut and the parts it leaves cost, in millimetres of seam in full view: the terms by which all cuts are weighed.

import type { BoxNeed } from '../../../geometry/laying-frames.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import type { DivisionTask, ProxyPart } from './proxy-part.ts';

/** Least share of the mean piece that a piece may have; less is a crumb. */
export const CRUMB_SHARE = 0.01;

/** Whether the part lies evenly on both sides of the symmetry plane (judged by its middle). */
export function isSelfMirrored(task: DivisionTask, part: ProxyPart): boolean {
  return task.mirrorX !== null && Math.abs(part.centreMm[0] - task.mirrorX) < task.samples.spacingMm * 0.75;
}

export function isMirrorPlane(task: DivisionTask, plane: Plane): boolean {
  if (task.mirrorX === null) return false;
  if (Math.abs(plane.normal[0]) < 1e-9) return true;
  return Math.abs(plane.normal[0]) > 0.9999 && Math.abs(plane.offsetMm - task.mirrorX * plane.normal[0]) < 1e-6;
}

/** Whether the plane crosses a part that is its own mirror image other than evenly. */
export function isLopsided(task: DivisionTask, part: ProxyPart, plane: Plane): boolean {
  return isSelfMirrored(task, part) && !isMirrorPlane(task, plane);
}

export function seamCost(task: DivisionTask, of: { readonly seamMm: number; readonly grazingMm2: number }): number {
  const { weights } = task;
  return of.seamMm * weights.seam + (of.grazingMm2 / task.leastSectionMm) * weights.feather;
}

/** What a part is expected to cost still: its pieces, and for each further cut about pi/4 of its weighted area over its length
 *  (the mean section of a body by the coarea formula). */
export function sideCost(task: DivisionTask, need: Pick<BoxNeed, 'pieces' | 'longestMm'>, weighedMm2: number): number {
  return sideCostOf(task, need.pieces, need.longestMm, weighedMm2);
}

export function sideCostOf({ weights }: DivisionTask, pieces: number, longestMm: number, weighedMm2: number): number {
  const cutMm = ((Math.PI / 4) * weighedMm2) / Math.max(1, longestMm);
  return weights.piece * pieces + weights.seam * (pieces - 1) * cutMm;
}

/** Grows as the smaller side falls under a third of the mean piece. */
export function chipCost(task: DivisionTask, share: number, piecesBelow: number, piecesAbove: number): number {
  const mean = 1 / (piecesBelow + piecesAbove);
  return chipOf(task, share / piecesBelow / mean) + chipOf(task, (1 - share) / piecesAbove / mean);
}

/** ofMean: area of a piece over the mean piece's. */
export function chipOf(task: DivisionTask, ofMean: number): number {
  return task.weights.chip * Math.max(0, 1 - ofMean / 0.35);
}

/** Diversity rule: alike when the offsets differ by less than a tenth of the bed's diagonal and the normals by less than
 *  18 degrees (0.1 pi), both times `strictness`. */
export function areAlike(task: DivisionTask, a: Plane, b: Plane, strictness = 1): boolean {
  const cos = dot(a.normal, b.normal);
  if (Math.abs(cos) < Math.cos(0.1 * Math.PI * strictness)) return false;
  return Math.abs(a.offsetMm - Math.sign(cos) * b.offsetMm) < task.apartMm * strictness;
}

/** Whether one part is the mirror image of another, judged by middle and area. */
export function areTwins(task: DivisionTask, a: ProxyPart, b: ProxyPart): boolean {
  if (task.mirrorX === null) return false;
  const [x, y, z] = a.centreMm;
  const away = Math.hypot(2 * task.mirrorX - x - b.centreMm[0], y - b.centreMm[1], z - b.centreMm[2]);
  return away < 1.5 * task.samples.spacingMm && Math.abs(b.areaMm2 / a.areaMm2 - 1) < 0.06;
}

export function mirroredPlane(plane: Plane, mirrorX: number): Plane {
  const [x, y, z] = plane.normal;
  return { normal: [-x, y, z], offsetMm: plane.offsetMm - 2 * x * mirrorX };
}
