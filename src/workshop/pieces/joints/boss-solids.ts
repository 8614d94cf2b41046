// Bosses: blocks on the inside of a thin wall, right behind the mating face of both pieces, that hold a magnet or a screw.
import type { Mesh } from '../../../mesh/mesh.ts';
import { evenly, fieldSlab, type SlabPoint } from './field-slab.ts';
import { inSpace } from './inner-lines.ts';
import { type KeyField, type KeyFrame, offNear } from './key-field.ts';
import { SHEET_STEP_MM, SINK_MM, slabPoint, underWall, wallHeight } from './key-sheets.ts';
import type { KeyRoom, KeySite, SideOfSite } from './key-site.ts';
import { seenFrom } from './key-site.ts';

/** What a pair of bosses has to hold, mm. */
export interface BossForm {
  /** Of the widest hole in them, and of the space before their backs. */
  readonly holeMm: number;
  /** How deep a boss stays whole behind the mating face: the carrier's and the receiver's. */
  readonly depthMm: readonly [number, number];
  /** How far behind the mating face the widest hole's circle must clear the wall, on either piece. */
  readonly clearMm: readonly [number, number];
  /** Round the hole. */
  readonly wallMm: number;
}

/** A pair of bosses on one axis. */
export interface Bosses {
  /** Its place is on the axis, in the plane of the mating faces. */
  readonly frame: KeyFrame;
  readonly carrier: Mesh;
  readonly receiver: Mesh;
  /** How far a boss goes behind the mating face with its ramp: the carrier's and the receiver's, mm. */
  readonly longMm: readonly [number, number];
}

/** Why there are none at a site: the mating face is not flat, or the wall rises or falls away too far behind it. */
export type NoBoss = 'bowed' | 'rises' | 'falls away';

export const NO_BOSS_WORDS: Readonly<Record<NoBoss, string>> = {
  bowed: 'The mating face is bowed, and a boss needs a flat one.',
  rises:
    'The wall rises too steeply behind the mating face for a straight hole beside it. A cut squarer to the wall would do.',
  'falls away':
    'The wall falls away too steeply behind the mating face for a boss to run out on it. A cut squarer to the wall would do.',
};

/** The wall may rise by so much along a boss before there is no room. */
const RISE_MM = 4;
/** A boss ends so little behind the mating face that no layer tells it, and enough that the faces of wall and boss are not one plane. */
const BEHIND_MM = 0.02;

export function bossRoom({ holeMm, depthMm, wallMm }: BossForm, skinMm: number): KeyRoom {
  const widthMm = 2 * (holeMm + wallMm);
  const heightMm = widthMm + RISE_MM;
  return {
    widthMm,
    halfMm: widthMm / 2 + SHEET_STEP_MM,
    depthMm: Math.max(...depthMm) + heightMm,
    heightMm,
    leastWallMm: skinMm,
  };
}

/** Both bosses of a site, or the reason why there are none. The hole's axis lies just so
 *  high that its circle clears the wall along both; behind, each boss runs out into its wall at 45 degrees to it, so that on an upright wall
 *  it prints without support with the mating face up or down. Space: model, worn. Cost: some ms. */
export function bossesAt(site: KeySite, form: BossForm, carrier: 0 | 1): Bosses | NoBoss {
  const side = seenFrom(site, carrier);
  if (side.edge.into.some((mm) => Math.abs(mm) > BEHIND_MM / 2)) return 'bowed';
  const fields = [side.carrier, side.receiver] as const;
  const highest = Math.max(...fields.map((field, i) => highestUnder(field, form, form.clearMm[i as 0 | 1])));
  const axisMm = highest + form.holeMm;
  const topMm = axisMm + form.holeMm + form.wallMm;
  const lowest = Math.min(...fields.map((field) => wallHeight(field, 0, 0)));
  if (topMm - lowest > site.room.heightMm) return 'rises';
  const own = blockOn(side, fields[0], { form, topMm, depthMm: form.depthMm[0] });
  const other = blockOn(side, fields[1], { form, topMm, depthMm: form.depthMm[1] });
  if (own === null || other === null) return 'falls away';
  return {
    frame: { ...side.frame, at: inSpace(side.frame, 0, 0, axisMm) },
    carrier: own.mesh,
    receiver: other.mesh,
    longMm: [own.longMm, other.longMm],
  };
}

/** Of the wall under the hole. */
function highestUnder(field: KeyField, { holeMm }: BossForm, clearMm: number): number {
  let most = -Infinity;
  for (const a of evenly(-holeMm, holeMm, SHEET_STEP_MM))
    for (const depth of evenly(0, Math.min(clearMm, field.depthMm.at(-1)!), SHEET_STEP_MM))
      most = Math.max(most, wallHeight(field, a, field.side * depth) + offNear(field, a, depth, SHEET_STEP_MM).over);
  return most;
}

function blockOn(
  side: SideOfSite,
  field: KeyField,
  { form, topMm, depthMm }: { readonly form: BossForm; readonly topMm: number; readonly depthMm: number },
): { readonly mesh: Mesh; readonly longMm: number } | null {
  const half = form.holeMm + form.wallMm;
  const alongs = evenly(-half, half, SHEET_STEP_MM);
  const most = field.depthMm.at(-1)! - SHEET_STEP_MM;
  const fall = (wallHeight(field, 0, 0) - wallHeight(field, 0, field.side * most)) / most;
  const ramp = 1 + Math.max(0, fall);
  const rows: SlabPoint[][] = [];
  for (const depth of [BEHIND_MM, ...evenly(SHEET_STEP_MM, most, SHEET_STEP_MM)]) {
    const top = topMm - ramp * Math.max(0, depth - depthMm);
    const signed = field.side * depth;
    let isInWall = true;
    rows.push(
      alongs.map((a) => {
        const low = underWall(field, a, signed, SINK_MM);
        const wall = wallHeight(field, a, signed) - SINK_MM / 2;
        if (top > wall) isInWall = false;
        return slabPoint(side, a, signed, { low, high: Math.max(low + LEAST_MM, top) });
      }),
    );
    if (isInWall) return { mesh: fieldSlab(side.frame, field.side < 0 ? rows.reverse() : rows), longMm: depth };
  }
  return null;
}

const LEAST_MM = 0.05;
