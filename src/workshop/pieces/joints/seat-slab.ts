// A seat cut into the inside of a wall, open at the seam, in which a lap or a strip lies.
import type { Mesh } from '../../../mesh/mesh.ts';
import { evenly, fieldSlab } from './field-slab.ts';
import { wallSlope } from './key-field.ts';
import { leanOf, rampOver, SHEET_STEP_MM, slabPoint, wallHeight } from './key-sheets.ts';
import type { SideOfSite } from './key-site.ts';

export interface Seat {
  /** 1: in the receiver. -1: in the carrier. */
  readonly hand: 1 | -1;
  readonly halfMm: number;
  readonly reachMm: number;
  /** On both sides of what lies in it. */
  readonly clearanceMm: number;
  /** Straight from its underside; 0 where it is pressed onto the floor. */
  readonly underMm: number;
  /** The underside of what lies in it, over along and signed depth; along `into` it never falls on the receiver's side. */
  readonly underside: (a: number, depth: number) => number;
}

/** Between the tip of what lies in a seat and the seat's end. */
export const TIP_ROOM_MM = 0.3;
/** A seat begins before the wall and ends over it. */
const BEFORE_MM = 1;
const OVER_MM = 1;

/** How much longer than its key a seat is, at a depth. */
export function seatEndMm(deepMm: number): number {
  return TIP_ROOM_MM + (deepMm + OVER_MM / 2) / LEAST_END_RAMP;
}

const LEAST_END_RAMP = 1;

/** What to cut for it: wider than the key by the clearance on both sides, deeper by underMm. Its end rises to
 *  the wall at 45 degrees, so that it prints with the mating face down. */
export function seatSlab(side: SideOfSite, seat: Seat): Mesh {
  const { hand, reachMm, clearanceMm, underMm, underside } = seat;
  const field = hand === 1 ? side.receiver : side.carrier;
  const half = seat.halfMm + clearanceMm;
  const ramp = Math.max(LEAST_END_RAMP, rampOver(hand * leanOf(field)));
  const floor = (a: number, depth: number): number => {
    const [ga] = wallSlope(field, side.edge, a, depth);
    const here = underside(a, depth);
    // the steeper of both ways: it bends at the seam
    const gs =
      Math.max(...[-1, 1].map((way) => Math.abs(underside(a, depth + way * SHEET_STEP_MM) - here))) / SHEET_STEP_MM;
    return here - underMm * Math.sqrt(1 + ga * ga + gs * gs);
  };
  const tip = hand * (reachMm + TIP_ROOM_MM);
  const deepest = wallHeight(field, 0, tip) + field.overMm - floor(0, tip);
  const end = tip + hand * ((Math.max(0, deepest) + OVER_MM / 2) / ramp);
  const depths = [-BEFORE_MM, ...evenly(0, reachMm, SHEET_STEP_MM), ...evenly(hand * tip, hand * end, SHEET_STEP_MM)]
    .map((depth) => hand * depth)
    .sort((a, b) => a - b);
  const alongs = evenly(-half, half, SHEET_STEP_MM);
  const rows = depths.map((depth) => {
    const beyond = Math.max(0, hand * (depth - tip));
    return alongs.map((a) => {
      const wall = wallHeight(field, a, depth);
      const low = beyond > 0 ? wall - (wallHeight(field, a, tip) - floor(a, tip)) + ramp * beyond : floor(a, depth);
      return slabPoint(side, a, depth, { low, high: Math.max(wall + field.overMm + OVER_MM, low + OVER_MM) });
    });
  });
  return fieldSlab(side.frame, rows);
}
