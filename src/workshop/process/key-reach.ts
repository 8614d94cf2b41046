// Which keys stand out of a piece, and whether they reach down as it lies: what protrudes below a piece cannot print.
import { dot } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Joint, Key } from './joints-record.ts';
import type { FittingPose } from './pieces-record.ts';

export const PROTRUDES: Readonly<Record<Key['kind'], boolean>> = {
  tab: true,
  lap: true,
  pin: true,
  strip: false,
  rod: false,
  magnet: false,
  screw: false,
};

/** Keys that stand out of a piece. Cost: O(keys). */
export function protrudingKeys(piece: string, joints: readonly Pick<Joint, 'keys'>[]): readonly Key[] {
  return joints.flatMap(({ keys }) => keys.filter((key) => key.carrier === piece && PROTRUDES[key.kind]));
}

/** A key may not reach further down than this, as a cosine: 60 degrees from straight down it still needs support along its whole length. */
export const MOST_DOWN = 0.5;

/** The way that is down in a pose, model space. */
export function downIn(toLaid: FittingPose['toLaid']): Vec3 {
  return [-toLaid[2]!, -toLaid[5]!, -toLaid[8]!];
}

/** Whether a pose has keys that protrude along `into` reaching downwards. */
export function reachesDown(toLaid: FittingPose['toLaid'], into: Vec3): boolean {
  return dot(downIn(toLaid), into) >= MOST_DOWN;
}
