// Lines of sight through the figure as it stands: what they meet first, and whether anything stands before a place.
import { Vector3 } from 'three';
import type { FigureShape } from '../api/figure-codec.ts';
import { type PartShape, type PiecePose, poseMatrix } from './figure-arrangement.ts';
import { nearestHit, nearestTriangle, normalOf } from './figure-ray.ts';

/** A line of sight: where it begins, and its unit direction, as the pieces stand. */
export interface Sight {
  readonly origin: Vector3;
  readonly way: Vector3;
}

/** A surface and the way from where it stands to its own space. */
export interface Standing {
  readonly shape: FigureShape;
  toOwn(sight: Sight): Sight;
}

/** Nearer than this share of the figure, something before a place is its own surface. */
const OWN_SURFACE = 0.008;

export function standingOf(shape: FigureShape, pose: PiecePose, part: PartShape): Standing {
  const back = poseMatrix(pose, part).invert();
  return {
    shape,
    toOwn: ({ origin, way }) => ({
      origin: origin.clone().applyMatrix4(back),
      way: way.clone().transformDirection(back),
    }),
  };
}

/** A place of a surface and its unit normal there, in the surface's own space. */
export interface SeenPlace {
  readonly at: Vector3;
  readonly normal: Vector3;
}

/** The nearest place of what stands there along a line of sight; null when it meets nothing. */
export function nearestPlace(standing: readonly Standing[], sight: Sight): SeenPlace | null {
  let nearest = Infinity;
  let place: SeenPlace | null = null;
  for (const { shape, toOwn } of standing) {
    const { origin, way } = toOwn(sight);
    const { away, tri } = nearestTriangle(shape, { origin: origin.toArray(), way: way.toArray() });
    if (away >= nearest) continue;
    nearest = away;
    place = { at: origin.addScaledVector(way, away), normal: new Vector3(...normalOf(shape, tri)) };
  }
  return place;
}

/** Whether the eye sees a place from that way. `sizeMm`: of the figure. */
export function isClear(from: Sight, standing: readonly Standing[], sizeMm: number): boolean {
  return standing.every(({ shape, toOwn }) => {
    const { origin, way } = toOwn(from);
    return nearestHit(shape, { origin: origin.toArray(), way: way.toArray() }, OWN_SURFACE * sizeMm) === Infinity;
  });
}
