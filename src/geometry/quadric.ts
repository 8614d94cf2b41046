// Squared distance to a set of planes as ten numbers, and the point that makes it least.

/** Numbers per quadric: xx xy xz yy yz zz (sum of w n n'), x y z (sum of w d n), and the constant, for planes n . p + d = 0 with
 *  weight w. */
export const QUADRIC = 10;

/** Adds the plane through p with normal n (length 1) and weight w. */
export function addPlane(
  q: Float64Array,
  at: number,
  plane: { nx: number; ny: number; nz: number; d: number; weight: number },
): void {
  const { nx, ny, nz, d, weight: w } = plane;
  q[at]! += w * nx * nx;
  q[at + 1]! += w * nx * ny;
  q[at + 2]! += w * nx * nz;
  q[at + 3]! += w * ny * ny;
  q[at + 4]! += w * ny * nz;
  q[at + 5]! += w * nz * nz;
  q[at + 6]! += w * nx * d;
  q[at + 7]! += w * ny * d;
  q[at + 8]! += w * nz * d;
  q[at + 9]! += w * d * d;
}

export function addQuadric(into: Float64Array, a: number, from: Float64Array, b: number): void {
  for (let i = 0; i < QUADRIC; i++) into[a + i]! += from[b + i]!;
}

/** Value at a point, mm2 times weight; never below 0. */
export function quadricAt(q: Float64Array, at: number, p: Float64Array): number {
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const v =
    x * (q[at]! * x + 2 * (q[at + 1]! * y + q[at + 2]! * z + q[at + 6]!)) +
    y * (q[at + 3]! * y + 2 * (q[at + 4]! * z + q[at + 7]!)) +
    z * (q[at + 5]! * z + 2 * q[at + 8]!) +
    q[at + 9]!;
  return v > 0 ? v : 0;
}

/** Moves p, given as a good guess, to the least of quadric + pull * |p - guess|^2. pull > 0 makes the answer unique. */
export function leastPoint(q: Float64Array, at: number, p: Float64Array, pull: number): void {
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const xy = q[at + 1]!;
  const xz = q[at + 2]!;
  const yz = q[at + 4]!;
  const bx = -(q[at]! * x + xy * y + xz * z + q[at + 6]!);
  const by = -(xy * x + q[at + 3]! * y + yz * z + q[at + 7]!);
  const bz = -(xz * x + yz * y + q[at + 5]! * z + q[at + 8]!);
  const xx = q[at]! + pull;
  const yy = q[at + 3]! + pull;
  const zz = q[at + 5]! + pull;
  const cxx = yy * zz - yz * yz;
  const cxy = xz * yz - xy * zz;
  const cxz = xy * yz - xz * yy;
  const det = xx * cxx + xy * cxy + xz * cxz;
  if (!(det > 0)) return;
  p[0] = x + (cxx * bx + cxy * by + cxz * bz) / det;
  p[1] = y + (cxy * bx + (xx * zz - xz * xz) * by + (xy * xz - xx * yz) * bz) / det;
  p[2] = z + (cxz * bx + (xy * xz - xx * yz) * by + (xx * yy - xy * xy) * bz) / det;
}
