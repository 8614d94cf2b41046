// Surfaces that follow a wall, or ride over it, in a key's frame: what the undersides and tops of keys are drawn from.
import { heightOf } from '../../../geometry/quadratic-fit.ts';
import type { SlabPoint } from './field-slab.ts';
import { edgeAt, type KeyField, offNear, wallSlope } from './key-field.ts';
import type { SideOfSite } from './key-site.ts';

/** Grid of the solids; heights are read twice as fine. */
export const SHEET_STEP_MM = 1;
/** How deep what is added stands in its own wall, so that both become one. */
export const SINK_MM = 0.3;

/** Height of the smooth wall over the place of the key at a place along the seam and a signed depth. */
export function wallHeight(field: KeyField, a: number, depth: number): number {
  return heightOf(field.smooth, a, depth);
}

/** Lower than the wall itself everywhere near. */
export function underWall(field: KeyField, a: number, depth: number, byMm: number): number {
  return wallHeight(field, a, depth) - offNear(field, a, Math.abs(depth), SHEET_STEP_MM).under - byMm;
}

/** Clear of the receiver's wall, measured straight from it, wherever the carrier stands on its way in: at each depth as high as at any lesser
 *  depth. Answers for a column of depths that rise from 0. */
export function ridingColumn(side: SideOfSite, a: number, depths: readonly number[], clearanceMm: number): number[] {
  const { receiver, edge } = side;
  let most = -Infinity;
  return depths.map((depth) => {
    const [ga, gs] = wallSlope(receiver, edge, a, depth);
    const rising = Math.max(0, gs);
    const over = offNear(receiver, a, depth, SHEET_STEP_MM).over;
    const height = wallHeight(receiver, a, depth) + over + clearanceMm * Math.sqrt(1 + ga * ga + rising * rising);
    most = Math.max(most, height);
    return most;
  });
}

/** The smooth face of a key that rides over the receiver's wall, `liftMm` above the highest that the smooth wall comes to on the way in. */
export function topOver(side: SideOfSite, a: number, depth: number, liftMm: number): number {
  let most = -Infinity;
  for (let d = 0; d < depth + SHEET_STEP_MM; d += SHEET_STEP_MM)
    most = Math.max(most, wallHeight(side.receiver, a, Math.min(d, depth)));
  return most + liftMm;
}

/** How far the wall rises along `into`, mm per mm; in the middle of the key. */
export function leanOf(field: KeyField): number {
  const middle = (field.side * field.depthMm.at(-1)!) / 2;
  return field.smooth[2] + 2 * field.smooth[5] * middle;
}

/** A ramp that grows out of a wall while the print rises along its way: no flatter than 45 degrees from that way where the wall itself leaves room for
 *  it. leaning: how far the wall rises that way, mm per mm. Returns mm over the wall per mm of way. */
export function rampOver(leaning: number): number {
  return Math.max(LEAST_RAMP, 1 - leaning);
}

const LEAST_RAMP = 0.5;

/** A point of a slab at a signed depth beside the seam's edge. */
export function slabPoint(
  side: SideOfSite,
  a: number,
  depth: number,
  between: { low: number; high: number },
): SlabPoint {
  return { a, s: intoAt(side, a, depth), ...between };
}

/** `into` of a place at a signed depth beside the seam's edge. */
export function intoAt(side: SideOfSite, a: number, depth: number): number {
  return edgeAt(side.edge, side.edge.into, a) + depth;
}
