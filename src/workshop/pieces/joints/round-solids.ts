// Round solids along a key's axis: turned profiles, their circles as polygons that keep clearances exactly.
import { scaled } from '../../../geometry/three-by-three.ts';
import { turned } from '../../../mesh/builders.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import { transformMesh } from '../../../mesh/transform.ts';
import type { ContactList } from './contact-list.ts';
import { inSpace } from './inner-lines.ts';
import type { KeyFrame } from './key-field.ts';

/** Sides of every circle. A fit of two is told between their flat sides. */
export const ROUND_SIDES = 48;
const HALF_RAD = Math.PI / ROUND_SIDES;

/** Through the corners of a circle that lies about one of `radiusMm`: what is cut is nowhere narrower. */
export function aroundMm(radiusMm: number): number {
  return radiusMm / Math.cos(HALF_RAD);
}

/** The same place as the other piece sees it. */
export function turnedFrame({ at, along, into, inward }: KeyFrame): KeyFrame {
  return { at, along: scaled(along, -1), into: scaled(into, -1), inward };
}

/** Turned about `into` through the frame's place. profile: radius and height along `into`, upward with the solid on the left; begins and ends at
 *  radius 0. */
export function roundSolid({ at, along, into, inward }: KeyFrame, profile: readonly number[]): Mesh {
  // Right-handed (inward, along, into): z of the turned solid becomes `into`.
  return transformMesh([...inward, ...along, ...into, ...at], turned(profile, { around: ROUND_SIDES }));
}

/** A peg of circle `pegMm` in a hole of circle `holeMm` (both through flat sides' distance for the hole, corners for the peg) meets it at every
 *  side, at the given heights along `into`. */
export function addRoundContacts(
  list: ContactList,
  frame: KeyFrame,
  by: {
    readonly pegMm: number;
    readonly holeMm: number;
    readonly heights: readonly number[];
    readonly isLoose: boolean;
  },
): void {
  const flatMm = by.pegMm * Math.cos(HALF_RAD);
  // a loose one may lie as far off in the carrier
  const gapMm = by.holeMm - flatMm + (by.isLoose ? by.holeMm - by.pegMm : 0);
  for (const height of by.heights)
    for (let i = 0; i < ROUND_SIDES; i++) {
      const angle = (2 * i + 1) * HALF_RAD;
      const [a, b] = [Math.cos(angle), Math.sin(angle)];
      const normal = [0, 1, 2].map((k) => a * frame.inward[k]! + b * frame.along[k]!) as [number, number, number];
      list.add(inSpace(frame, b * flatMm, height, a * flatMm), normal, gapMm);
    }
}
