// A plane, and the frame in which sections by it are drawn.
import type { Vec3 } from '../mesh/mesh.ts';

/** Points p with normal . p = offsetMm; "above" is the side the unit normal points to. */
export interface Plane {
  readonly normal: Vec3;
  readonly offsetMm: number;
}

/** Two unit vectors u, v with u x v = normal (right-handed). Same normal, same frame, always. */
export function planeFrame(normal: Vec3): { readonly u: Vec3; readonly v: Vec3 } {
  const [x, y, z] = normal;
  const a: Vec3 =
    Math.abs(x) <= Math.abs(y) && Math.abs(x) <= Math.abs(z)
      ? [1, 0, 0]
      : Math.abs(y) <= Math.abs(z)
        ? [0, 1, 0]
        : [0, 0, 1];
  let u: Vec3 = [a[1] * z - a[2] * y, a[2] * x - a[0] * z, a[0] * y - a[1] * x];
  const l = Math.hypot(u[0], u[1], u[2]);
  u = [u[0] / l, u[1] / l, u[2] / l];
  const v: Vec3 = [y * u[2] - z * u[1], z * u[0] - x * u[2], x * u[1] - y * u[0]];
  return { u, v };
}

/** Either side up, within what planes are moved to keep away from vertices. */
export function isNearlySamePlane(a: Plane, b: Plane): boolean {
  const cos = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  return Math.abs(cos) > 1 - 1e-9 && Math.abs(a.offsetMm - Math.sign(cos) * b.offsetMm) < 0.2;
}
