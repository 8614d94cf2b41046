// Rigid motions of any size, exactly: what small motions are checked against.
import type { SmallMotion } from '../../../src/geometry/contact-play.ts';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import { chainTransforms, type Transform } from '../../../src/mesh/transform.ts';

export function place([x, y, z]: Vec3): Transform {
  return [1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, z];
}

/** By the angle about an axis of any length through the origin. Method: Rodrigues' formula, for row vectors. */
export function turnedAbout(axis: Vec3, rad: number): Transform {
  const length = Math.hypot(...axis);
  if (length === 0 || rad === 0) return place([0, 0, 0]);
  const [x, y, z] = [axis[0] / length, axis[1] / length, axis[2] / length];
  const [c, s] = [Math.cos(rad), Math.sin(rad)];
  const d = 1 - c;
  return [
    c + x * x * d,
    y * x * d + z * s,
    z * x * d - y * s,
    x * y * d - z * s,
    c + y * y * d,
    z * y * d + x * s,
    x * z * d + y * s,
    y * z * d - x * s,
    c + z * z * d,
    0,
    0,
    0,
  ];
}

export function poseOf({ aboutMm: [x, y, z], shiftMm, turnRad }: SmallMotion): Transform {
  const back = place([-x, -y, -z]);
  const turn = turnedAbout(turnRad, Math.hypot(...turnRad));
  const there = place([x + shiftMm[0], y + shiftMm[1], z + shiftMm[2]]);
  return chainTransforms(chainTransforms(back, turn), there);
}
