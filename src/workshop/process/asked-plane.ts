// The plane of a seam that the maker asks for, at worn size.
import type { Plane } from '../../geometry/plane.ts';
import { axesOf, cross, dot, minus, plus, scaled, unit, within } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { AskedSeam, PlaneAt, SurfacePoint } from './asked-seams.ts';

/** Points of one line lie within this share of its length. */
const STRAIGHT_SHARE = 0.02;

/** The plane of one seam. With a normal it goes through the first point. Else it is the plane nearest to all points in the sense of
 *  least squares; where they lie in one line (two always do) it holds that line and stands square to the surface there.
 *  `scale`: worn over unscaled. Null where one point alone, or points in one place, tell none. Cost: O(points). */
export function wornPlaneOf(seam: AskedSeam, scale: number): Plane | null {
  const points = seam.points.map(({ atMm }) => scaled(atMm, scale));
  const first = points[0]!;
  if (seam.normal !== null) {
    if (Math.hypot(...seam.normal) < 1e-9) return null;
    return through(first, unit(seam.normal));
  }
  const middle = scaled(points.reduce(plus), 1 / points.length);
  const [along, across, out] = axesOf(scatterOf(points, middle));
  const length = reach(points, middle, along);
  if (length < 1e-6) return null;
  if (reach(points, middle, across) > STRAIGHT_SHARE * length) return through(middle, out);
  const facing = within(along, meanNormal(seam.points));
  return Math.hypot(...facing) < 1e-6 ? null : through(middle, unit(cross(along, unit(facing))));
}

/** A cut that a seam lies within, at worn size. Null where its normal tells no way. */
export function wornBoundOf({ atMm, normal }: PlaneAt, scale: number): Plane | null {
  return Math.hypot(...normal) < 1e-9 ? null : through(scaled(atMm, scale), unit(normal));
}

function through(point: Vec3, normal: Vec3): Plane {
  return { normal, offsetMm: dot(point, normal) };
}

export function meanNormal(points: readonly SurfacePoint[]): Vec3 {
  return scaled(points.map(({ normal }) => unit(normal)).reduce(plus), 1 / points.length);
}

function scatterOf(points: readonly Vec3[], middle: Vec3): Float64Array {
  const m = new Float64Array(9);
  for (const point of points) {
    const d = minus(point, middle);
    for (let r = 0; r < 3; r++) for (let c = 0; c < 3; c++) m[r * 3 + c] = m[r * 3 + c]! + d[r]! * d[c]!;
  }
  return m;
}

/** How far the points reach along a direction. */
function reach(points: readonly Vec3[], middle: Vec3, along: Vec3): number {
  const heights = points.map((point) => dot(minus(point, middle), along));
  return Math.max(...heights) - Math.min(...heights);
}
