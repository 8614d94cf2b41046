// In which direction, and how far, a piece moves when the pieces stand apart in figure and drawing.
import { bounds, middleOf } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';

export interface WayOut {
  readonly unit: Vec3;
  readonly mm: number;
}

/** Pieces stand this far apart, as a share of the largest size. */
const APART_SHARE = 0.42;

/** From the middle of the whole (model space, foot at z = 0) to the middle of the piece; farther out, farther away. */
export function wayOut(mesh: Mesh, sizeMm: Vec3): WayOut {
  const middle = middleOf(bounds(mesh));
  const way: Vec3 = [middle[0], middle[1], middle[2] - sizeMm[2] / 2];
  const length = Math.hypot(...way);
  const largest = Math.max(...sizeMm);
  const mm = APART_SHARE * largest * Math.min(1, 0.4 + length / largest);
  return length < 1e-6 ? { unit: [0, 0, 1], mm } : { unit: [way[0] / length, way[1] / length, way[2] / length], mm };
}
