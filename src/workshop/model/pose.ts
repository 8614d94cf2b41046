// The motion that sets a shell upright: from two directions in file space to model space.
import type { Plane } from '../../geometry/plane.ts';
import { cross, dot, plus, scaled, unit } from '../../geometry/three-by-three.ts';
import { bounds } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { applyTransform, chainTransforms, type Transform, transformMesh, turnVector } from '../../mesh/transform.ts';

export interface Pose {
  readonly fromFile: Transform;
  readonly mesh: Mesh;
  /** The mirror plane in model space, normal towards the wearer's left. */
  readonly mirror: Plane | null;
}

/** Turns up to +Z and front to -Y (both unit, square to each other), then by `turnDeg` about X, Y, Z in this order (right-handed:
 *  tips forward, to the wearer's left, to the wearer's right), then moves the lowest point to z = 0, the middle of the depth to
 *  y = 0, and the mirror plane (without one, the middle of the width) to x = 0. Cost: two passes over the positions. */
export function poseOf(mesh: Mesh, ways: { up: Vec3; front: Vec3; mirror: Plane | null; turnDeg: Vec3 }): Pose {
  const back = scaled(ways.front, -1);
  const left = cross(back, ways.up);
  const { up } = ways;
  const upright: Transform = [left[0], back[0], up[0], left[1], back[1], up[1], left[2], back[2], up[2], 0, 0, 0];
  const turned = ways.turnDeg.reduce(
    (t, deg, axis) => (deg === 0 ? t : chainTransforms(t, turnAbout(axis, deg))),
    upright,
  );
  const box = bounds(transformMesh(turned, mesh));
  const middle: Vec3 = [0, (box.minMm[1] + box.maxMm[1]) / 2, (box.minMm[2] + box.maxMm[2]) / 2];
  const mirror = ways.mirror === null ? null : movedPlane(turned, ways.mirror);
  const sideways =
    mirror !== null && Math.abs(mirror.normal[0]) > 0.5 ? crossingX(mirror, middle) : (box.minMm[0] + box.maxMm[0]) / 2;
  const fromFile = [...turned.slice(0, 9), -sideways, -middle[1], -box.minMm[2]];
  return {
    fromFile,
    mesh: transformMesh(fromFile, mesh),
    mirror: ways.mirror === null ? null : movedPlane(fromFile, ways.mirror),
  };
}

function turnAbout(axis: number, deg: number): Transform {
  const c = Math.cos((deg * Math.PI) / 180);
  const s = Math.sin((deg * Math.PI) / 180);
  if (axis === 0) return [1, 0, 0, 0, c, s, 0, -s, c, 0, 0, 0];
  if (axis === 1) return [c, 0, -s, 0, 1, 0, s, 0, c, 0, 0, 0];
  return [c, s, 0, -s, c, 0, 0, 0, 1, 0, 0, 0];
}

/** The plane after a rigid motion, its normal on the side of +X. */
export function movedPlane(motion: Transform, plane: Plane): Plane {
  const turned = unit(turnVector(motion, plane.normal));
  const on = applyTransform(motion, scaled(plane.normal, plane.offsetMm));
  const normal = turned[0] < 0 ? scaled(turned, -1) : turned;
  return { normal: plus(normal, [0, 0, 0]), offsetMm: dot(normal, on) };
}

function crossingX(plane: Plane, through: Vec3): number {
  return (plane.offsetMm - plane.normal[1] * through[1] - plane.normal[2] * through[2]) / plane.normal[0];
}
