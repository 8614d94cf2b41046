// The measures of a tab at its place: how long, how high over the wall, and how much room it needs.
import type { KeyForm } from './key-form.ts';
import { leanOf, topOver, wallHeight } from './key-sheets.ts';
import { type KeyRoom, type KeySite, type SideOfSite, seenFrom } from './key-site.ts';

export interface TabDrawing {
  readonly side: SideOfSite;
  readonly form: KeyForm;
  readonly room: KeyRoom;
  readonly halfMm: number;
  readonly reachMm: number;
  readonly heldBy: 'stops' | 'pocket';
  /** From the smooth wall to the top, in the plane. */
  readonly liftMm: number;
}

/** Width of a stop along the seam. */
export const STOP_MM = 4;
/** How far a lip and a pocket's stops go on beyond the tip of the tab. */
export const BEYOND_MM = 1;
/** A tab that rides over a wall that falls away is no longer than this times the fall. */
const LEAST_REACH_MM = 3;
/** Tall room, for walls that fall away under the tab. */
const HEIGHT_MM = 4.2;
/** A leaning wall is thicker in the plane by its lean; beyond this, thinner tabs must do. */
export const MOST_RISE = 1.8;

/** The room that a tab of some width needs on both walls, in either form. */
export function tabRoom(widthMm: number, { reachMm, thickMm, clearanceMm, skinMm }: KeyForm): KeyRoom {
  return {
    widthMm,
    halfMm: widthMm / 2 + clearanceMm + STOP_MM,
    depthMm: reachMm + Math.max(thickMm + 0.5, 2 * BEYOND_MM),
    heightMm: 2 * thickMm + HEIGHT_MM,
    leastWallMm: skinMm,
  };
}

/** carrier: 0 the lower piece of the seam, 1 the upper. */
export function drawTab(site: KeySite, form: KeyForm, by: { carrier: 0 | 1; heldBy: 'stops' | 'pocket' }): TabDrawing {
  const { carrier, heldBy } = by;
  const side = seenFrom(site, carrier);
  const lean = leanOf(side.receiver);
  const rise = Math.sqrt(1 + Math.max(0, lean) ** 2);
  const free = site.room.heightMm - form.thickMm - form.clearanceMm - side.receiver.overMm - 0.5;
  const reachMm = lean < 0 ? Math.min(form.reachMm, Math.max(LEAST_REACH_MM, free / -lean)) : form.reachMm;
  const liftMm = side.receiver.overMm + (form.clearanceMm + form.thickMm) * Math.min(rise, MOST_RISE);
  return { side, form, room: site.room, halfMm: site.room.widthMm / 2, reachMm, heldBy, liftMm };
}

/** Height of the tab's inner face. In a pocket it rises at 45 degrees to the highest that it comes to, and goes on straight: so its lips lie
 *  no farther off than the clearance, all along. */
export function topAt(drawing: TabDrawing, a: number, depth: number): number {
  const { side, liftMm, reachMm, heldBy } = drawing;
  const atEdge = topOver(side, a, 0, liftMm);
  if (depth < 0) return wallHeight(side.carrier, a, depth) - wallHeight(side.carrier, a, 0) + atEdge;
  const riding = topOver(side, a, depth, liftMm);
  if (heldBy === 'stops') return riding;
  return Math.max(riding, Math.min(atEdge + depth, topOver(side, a, reachMm, liftMm)));
}
