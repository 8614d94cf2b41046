// How the rim of an opening lies, and whether it is one that a neck goes through.
import type { Gap } from '../../geometry/hollow.ts';
import type { SurfacePoints } from '../../geometry/surface-points.ts';
import { axesOf, dot, scaled } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';

export interface NeckLikeness {
  readonly gap: Gap;
  /** Unit normal of the plane the rim keeps to, out of the hollow. */
  readonly normal: Vec3;
  /** Distance of the rim from that plane over its distance from its middle, both as root mean squares. */
  readonly flatness: number;
  /** Share of the surface that lies beyond the plane by more than 3 percent of the size. */
  readonly beyond: number;
  /** 0 to 1: flat and at the end of the model as a neck opening is, or curved round the wall as a face opening is. */
  readonly likeness: number;
}

/** A rim this far from flat, or with this share of the surface beyond it, is 1/e as likely to be a neck. */
const FLATNESS_SCALE = 0.15;
const BEYOND_SCALE = 0.05;

/** How much an opening is like one that a head goes in through: the shell could be set down on its rim. Measured on made shells,
 *  necks have flatness 0.03 to 0.09 and 0 to 3 percent beyond (likeness 0.4 to 1), face openings 0.2 to 0.3 and 2 to 8 percent
 *  beyond (likeness below 0.1). */
export function neckLikeness(gap: Gap, samples: SurfacePoints, spanMm: number): NeckLikeness {
  const normal = rimNormal(gap.rim, gap.outward);
  const middle = meanPoint(gap.rim);
  const heightAt = (p: Float64Array, i: number): number =>
    (p[i]! - middle[0]) * normal[0] + (p[i + 1]! - middle[1]) * normal[1] + (p[i + 2]! - middle[2]) * normal[2];
  let [heights, radii, past] = [0, 0, 0];
  for (let i = 0; i < gap.rim.length; i += 3) {
    heights += heightAt(gap.rim, i) ** 2;
    for (let c = 0; c < 3; c++) radii += (gap.rim[i + c]! - middle[c]!) ** 2;
  }
  for (let i = 0; i < samples.num * 3; i += 3) if (heightAt(samples.points, i) > 0.03 * spanMm) past++;
  const flatness = Math.sqrt(heights / Math.max(radii, 1e-12));
  const beyond = past / Math.max(1, samples.num);
  const likeness = Math.exp(-beyond / BEYOND_SCALE - (flatness / FLATNESS_SCALE) ** 2);
  return { gap, normal, flatness, beyond, likeness };
}

/** Unit normal of the plane through the rim (n x 3 points), on the side of `towards`. The fifth of the points that lie farthest
 *  from the plane is left out, twice, so that scallops and a long back edge tilt it less. Fewer than 8 points: `towards` itself. */
export function rimNormal(rim: Float64Array, towards: Vec3): Vec3 {
  let points = rim;
  let normal = towards;
  for (let round = 0; round < 3 && points.length >= 24; round++) {
    const middle = meanPoint(points);
    normal = axesOf(scatter(points, middle))[2];
    points = nearest(points, middle, normal, 0.8);
  }
  return dot(normal, towards) < 0 ? scaled(normal, -1) : normal;
}

/** Mean of n x 3 points; n is at least 1. */
export function meanPoint(points: Float64Array): Vec3 {
  const sum = [0, 0, 0];
  for (let i = 0; i < points.length; i++) sum[i % 3] = sum[i % 3]! + points[i]!;
  const num = points.length / 3;
  return [sum[0]! / num, sum[1]! / num, sum[2]! / num];
}

function scatter(points: Float64Array, middle: Vec3): Float64Array {
  const m = new Float64Array(9);
  for (let i = 0; i < points.length; i += 3) {
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) {
        m[r * 3 + c] = m[r * 3 + c]! + (points[i + r]! - middle[r]!) * (points[i + c]! - middle[c]!);
      }
    }
  }
  return m;
}

function nearest(points: Float64Array, middle: Vec3, normal: Vec3, share: number): Float64Array {
  const num = points.length / 3;
  const away = new Float64Array(num);
  for (let i = 0; i < num; i++) {
    away[i] = Math.abs(
      (points[i * 3]! - middle[0]) * normal[0] +
        (points[i * 3 + 1]! - middle[1]) * normal[1] +
        (points[i * 3 + 2]! - middle[2]) * normal[2],
    );
  }
  const limit = away.slice().sort()[Math.floor((num - 1) * share)]!;
  const out: number[] = [];
  for (let i = 0; i < num; i++) {
    if (away[i]! <= limit) out.push(points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!);
  }
  return Float64Array.from(out);
}
