// How the rim of an opening lies: the plane it keeps to.
import { axesOf, dot, scaled } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';

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
