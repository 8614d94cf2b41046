// Round keys of a thick section: finds their places, takes the longest that fits, and says what would do when none does.
import { scaled } from '../../../geometry/three-by-three.ts';
import { widestCircle } from '../../../geometry/widest-circle.ts';
import type { KeyFrame } from './key-field.ts';
import type { KeyGround } from './key-ground.ts';
import type { KeySolids } from './key-solids.ts';
import { roundFrame, roundPlaces } from './round-places.ts';
import { bodyAt, type RoundBody, type RoundFit, type RoundNeed } from './round-room.ts';
import type { SeamSection } from './seam-section.ts';

export interface RoundKeys {
  readonly keys: readonly KeySolids[];
  /** What they fill, for the keys of other seams. */
  readonly bodies: readonly RoundBody[];
  /** Why there are none, in a sentence; null when there are. */
  readonly why: string | null;
}

/** Which piece of the seam carries the keys: 0 the lower, 1 the upper, or each key whichever has more room for it; and what keys of other seams
 *  fill already. */
export interface RoundSide {
  readonly carrier: 0 | 1 | 'either';
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

/** At least two keys, each of the first drawing and the longest reach that fits its place; or none, with the reason.
 *  drawings: best first, thick before thin. Space: model, worn. Cost: `roundPlaces`. */
export function roundKeys(
  section: SeamSection,
  ground: KeyGround,
  drawings: readonly RoundDrawing[],
  by: RoundSide & { readonly spacingMm: number },
): RoundKeys {
  const { seam, n } = section;
  const ways = waysIn(drawings, by.carrier);
  const places = placesOf(section, ground, ways, by);
  if (places.length < 2) return { keys: [], bodies: [], why: whyNot(section, ground, drawings[0]!, by) };
  return {
    keys: places.map(({ atMm, roomMm, need }) => {
      const { drawing, reachMm, carrier } = ways[need]!;
      return drawing.draw({
        frame: roundFrame(section, atMm, carrier === 0 ? n : scaled(n, -1)),
        carrier: seam.pieces[carrier],
        receiver: seam.pieces[carrier === 0 ? 1 : 0],
        reachMm,
        roomMm,
        bowMm: seam.bowMm,
      });
    }),
    bodies: places.map(({ atMm, need }) => bodyAt(atMm, n, ways[need]!.need)),
    why: null,
  };
}

/** One way to draw a key. */
interface RoundWay {
  readonly drawing: RoundDrawing;
  readonly reachMm: number;
  readonly carrier: 0 | 1;
  /** depthMm: into the first piece of the seam and the second. */
  readonly need: RoundNeed;
}

function waysIn(drawings: readonly RoundDrawing[], asked: RoundSide['carrier']): readonly RoundWay[] {
  const carriers = asked === 'either' ? ([0, 1] as const) : [asked];
  return drawings.flatMap((drawing) =>
    drawing.reachesMm.flatMap((reachMm) =>
      carriers.map((carrier) => {
        const own = drawing.need(reachMm);
        const [c, r] = own.depthMm;
        return { drawing, reachMm, carrier, need: { ...own, depthMm: carrier === 0 ? [c, r] : [r, c] } };
      }),
    ),
  );
}

function placesOf(
  section: SeamSection,
  ground: KeyGround,
  ways: readonly RoundWay[],
  { spacingMm, taken = [] }: RoundSide & { readonly spacingMm: number },
): readonly RoundFit[] {
  return roundPlaces(section, ground, { needs: ways.map(({ need }) => need), spacingMm, taken });
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
    if (placesOf(section, ground, waysIn([other], by.carrier), by).length >= 2)
      return `${asked}; the widest of this face is ${across.toFixed(1)} mm. ${other.words[0]!.toUpperCase()}${other.words.slice(1)} would do.`;
  return `${asked}; the widest of this face is ${across.toFixed(1)} mm.`;
}
