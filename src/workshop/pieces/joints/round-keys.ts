// Round keys of a thick section: finds their places, takes the longest that fits, and says what would do when none does.
import { scaled } from '../../../geometry/three-by-three.ts';
import { widestCircle } from '../../../geometry/widest-circle.ts';
import type { KeyFrame } from './key-field.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeySolids } from './key-solids.ts';
import { bodyAt, type RoundBody, type RoundNeed, roundFrame, roundPlaces } from './round-places.ts';
import type { SeamSection } from './seam-section.ts';

export interface RoundKeys {
  readonly keys: readonly KeySolids[];
  /** What they fill, for the keys of other seams. */
  readonly bodies: readonly RoundBody[];
  /** Why there are none, in a sentence; null when there are. */
  readonly why: string | null;
}

/** Which piece of the seam carries the keys: 0 the lower, 1 the upper; and what keys of other seams fill already. */
export interface RoundSide {
  readonly carrier: 0 | 1;
  readonly taken?: readonly RoundBody[];
}

/** A kind of round key, drawn at a place. */
export interface RoundDrawing {
  /** "pins of 4 mm" */
  readonly words: string;
  /** How far it may reach into the receiver, mm, longest first. */
  readonly reachesMm: readonly number[];
  /** depthMm: into the carrier and into the receiver. */
  need(reachMm: number): RoundNeed;
  draw(at: RoundSite): KeySolids;
  /** The same, a step thinner; null when that would be too thin. */
  thinner(): RoundDrawing | null;
}

export interface RoundSite {
  readonly frame: KeyFrame;
  readonly carrier: string;
  readonly receiver: string;
  readonly reachMm: number;
  /** From the middle to the nearest side of the face. */
  readonly roomMm: number;
  readonly bowMm: number;
}

/** At least two keys, all of one reach: the longest for which two places are found; or none, with the reason.
 *  Space: model, worn. Cost: `roundPlaces`, once for each reach. */
export function roundKeys(
  section: SeamSection,
  ground: KeyGround,
  drawing: RoundDrawing,
  by: RoundSide & { readonly spacingMm: number },
): RoundKeys {
  const { seam, n } = section;
  const fit = fitting(section, ground, drawing, by);
  if (fit === null) return { keys: [], bodies: [], why: whyNot(section, ground, drawing, by) };
  const into = by.carrier === 0 ? n : scaled(n, -1);
  return {
    keys: fit.places.map(({ atMm, roomMm }) =>
      drawing.draw({
        frame: roundFrame(section, atMm, into),
        carrier: seam.pieces[by.carrier],
        receiver: seam.pieces[by.carrier === 0 ? 1 : 0],
        reachMm: fit.reachMm,
        roomMm,
        bowMm: seam.bowMm,
      }),
    ),
    bodies: fit.places.map(({ atMm }) => bodyAt(atMm, n, fit.need)),
    why: null,
  };
}

function fitting(
  section: SeamSection,
  ground: KeyGround,
  drawing: RoundDrawing,
  { carrier, spacingMm, taken = [] }: RoundSide & { readonly spacingMm: number },
) {
  for (const reachMm of drawing.reachesMm) {
    const own = drawing.need(reachMm);
    const [c, r] = own.depthMm;
    const need: RoundNeed = { ...own, depthMm: carrier === 0 ? [c, r] : [r, c] };
    const places = roundPlaces(section, ground, { need, spacingMm, taken });
    if (places.length >= 2) return { places, reachMm, need };
  }
  return null;
}

function whyNot(
  section: SeamSection,
  ground: KeyGround,
  drawing: RoundDrawing,
  by: RoundSide & { readonly spacingMm: number },
): string {
  const need = drawing.need(drawing.reachesMm.at(-1)!);
  const across = 2 * widestCircle(section.loops.map(({ flat }) => flat)).radiusMm;
  const asked = `Two ${drawing.words} need room ${(2 * need.circleMm).toFixed(1)} mm across and ${need.depthMm[0].toFixed(1)} and ${need.depthMm[1].toFixed(1)} mm deep, at two places well apart`;
  for (let other = drawing.thinner(); other !== null; other = other.thinner())
    if (fitting(section, ground, other, by) !== null)
      return `${asked}; the widest of this face is ${across.toFixed(1)} mm. ${other.words[0]!.toUpperCase()}${other.words.slice(1)} would do.`;
  return `${asked}; the widest of this face is ${across.toFixed(1)} mm.`;
}
