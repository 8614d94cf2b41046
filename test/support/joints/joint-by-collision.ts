// The play of a joint without its contacts: the carrier's mesh is moved until it goes through the receiver's.
import type { SmallMotion } from '../../../src/geometry/contact-play.ts';
import { cross, dot, minus, plus, scaled, unit } from '../../../src/geometry/three-by-three.ts';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import {
  applyTransform,
  chainTransforms,
  invertTransform,
  type Transform,
  transformMesh,
} from '../../../src/mesh/transform.ts';
import { type CollisionBody, collisionBody } from '../collision/collision-body.ts';
import { doCross } from '../collision/edge-crossings.ts';
import { place, poseOf } from './poses.ts';
import type { RandomJoint } from './random-joint.ts';

/** Mating faces are held this far apart, so that only keys can meet, mm. */
const LIFTED_MM = 1e-3;

/** Whether the piece above, moved like that, goes through the piece below. */
export type Collides = (motion: SmallMotion) => boolean;

export function collisionsOf({ below, above, section }: RandomJoint): Collides {
  const { origin, u, v, n } = section;
  const fromFrame: Transform = [...u, ...v, ...n, ...origin];
  const toFrame = invertTransform(fromFrame);
  // In the frame of the seam boxes of triangles are narrow.
  const [still, moving] = [below, above].map((mesh) => collisionBody(transformMesh(toFrame, mesh))) as [
    CollisionBody,
    CollisionBody,
  ];
  const lift = place([0, 0, LIFTED_MM]);
  return (motion) =>
    doCross(moving, still, chainTransforms(chainTransforms(chainTransforms(fromFrame, poseOf(motion)), toFrame), lift));
}

export function times({ aboutMm, shiftMm, turnRad }: SmallMotion, by: number): SmallMotion {
  return { aboutMm, shiftMm: scaled(shiftMm, by), turnRad: scaled(turnRad, by) };
}

/** The largest multiple of a motion, to a thousandth of `most`, up to which nothing meets; `most` when nothing does. */
export function farthestFree(collides: Collides, motion: SmallMotion, most: number): number {
  let [free, met] = [0, most];
  const steps = 40;
  for (let step = 1; step <= steps; step++) {
    if (!collides(times(motion, (step / steps) * most))) continue;
    met = (step / steps) * most;
    free = ((step - 1) / steps) * most;
    break;
  }
  if (met === most && !collides(times(motion, most))) return most;
  while (met - free > most / 2000) {
    const middle = (free + met) / 2;
    if (collides(times(motion, middle))) met = middle;
    else free = middle;
  }
  return free;
}

/** How far the place goes along the direction. */
export function goes(motion: SmallMotion, at: Vec3, direction: Vec3): number {
  const there = applyTransform(poseOf(motion), at);
  return (there[0] - at[0]) * direction[0] + (there[1] - at[1]) * direction[1] + (there[2] - at[2]) * direction[2];
}

/** The farthest that a place gets along a direction without meeting anything, over slides in the plane of the seam and turns about its
 *  normal: always of a motion that was tried and was free, so never more than there is. Where the farthest corner of what is thought free
 *  is not, the plane of motions that just meet is felt out by three of them, and cut off (Kelley 1960). */
export function farthestFound(
  collides: Collides,
  by: {
    readonly aboutMm: Vec3;
    readonly frame: readonly [u: Vec3, v: Vec3, n: Vec3];
    readonly leverMm: number;
    readonly at: Vec3;
    readonly direction: Vec3;
    readonly random: () => number;
  },
): number {
  const [u, v, n] = by.frame;
  const motionOf = ([a, b, t]: Vec3): SmallMotion => ({
    aboutMm: by.aboutMm,
    shiftMm: plus(scaled(u, a), scaled(v, b)),
    turnRad: scaled(n, t / by.leverMm),
  });
  const gain = (x: Vec3): number => goes(motionOf(x), by.at, by.direction);
  const way = UNITS.map((x) => gain(scaled(x, 1e-4)) / 1e-4) as unknown as Vec3;
  const planes: CutOff[] = UNITS.flatMap((x) =>
    [1, -1].map((sign) => ({ normal: scaled(x, sign), offset: FARTHEST_MM })),
  );
  let most = 0;
  for (let cuts = 0; cuts < MOST_CUTS; cuts++) {
    const corner = farthestCorner(planes, way);
    const first = meets(collides, motionOf, corner);
    most = Math.max(most, gain(first));
    if (dot(first, corner) > 0.998 * dot(corner, corner)) break;
    const beside = (): Vec3 =>
      meets(
        collides,
        motionOf,
        plus(corner, UNITS.map(() => (by.random() - 0.5) * ASIDE * Math.hypot(...corner)) as unknown as Vec3),
      );
    let [p, q] = [beside(), beside()];
    let normal = unit(cross(minus(p, first), minus(q, first)));
    // Where a fourth does not lie in it, the three were of two planes.
    for (let tries = 0; tries < 6; tries++) {
      const off = Math.abs(dot(normal, minus(beside(), first)));
      if (off < 0.02 * ASIDE * Math.hypot(...first)) break;
      [p, q] = [beside(), beside()];
      normal = unit(cross(minus(p, first), minus(q, first)));
    }
    const offset = dot(normal, first);
    planes.push(offset < 0 ? { normal: scaled(normal, -1), offset: -offset } : { normal, offset });
  }
  return most;
}

const UNITS: readonly Vec3[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
const FARTHEST_MM = 3;
const MOST_CUTS = 25;
/** Of the way to a corner: how far beside it its plane is felt out. */
const ASIDE = 4e-3;

interface CutOff {
  readonly normal: Vec3;
  readonly offset: number;
}

/** The last free motion on the way from rest to `x`. */
function meets(collides: Collides, motionOf: (x: Vec3) => SmallMotion, x: Vec3): Vec3 {
  let [free, met] = [0, 1];
  if (!collides(motionOf(x))) return x;
  for (let halving = 0; halving < 18; halving++) {
    const middle = (free + met) / 2;
    if (collides(motionOf(scaled(x, middle)))) met = middle;
    else free = middle;
  }
  return scaled(x, free);
}

/** By trying every three planes. */
function farthestCorner(planes: readonly CutOff[], way: Vec3): Vec3 {
  let best: Vec3 = [0, 0, 0];
  for (let i = 0; i < planes.length; i++) {
    for (let j = 0; j < i; j++) {
      for (let k = 0; k < j; k++) {
        const [a, b, c] = [planes[i]!, planes[j]!, planes[k]!];
        const bc = cross(b.normal, c.normal);
        const det = dot(a.normal, bc);
        if (Math.abs(det) < 1e-9) continue;
        const sum = plus(
          scaled(bc, a.offset),
          plus(scaled(cross(c.normal, a.normal), b.offset), scaled(cross(a.normal, b.normal), c.offset)),
        );
        const corner = scaled(sum, 1 / det);
        if (dot(corner, way) <= dot(best, way)) continue;
        if (planes.every(({ normal, offset }) => dot(normal, corner) <= offset + 1e-7)) best = corner;
      }
    }
  }
  return best;
}
