// Which kind of key a seam gets, by the wall it runs through; and the sentence that says why one does not fit.
import { widestCircle } from '../../../geometry/widest-circle.ts';
import type { JointKind } from '../../process/joints-record.ts';
import { innerLines, placesAlong } from './inner-lines.ts';
import type { JointsSettings } from './joints-settings.ts';
import { type KeyGround, wallAlong } from './key-ground.ts';
import { LEAST_LAP_MM } from './lap-solids.ts';
import type { SeamSection } from './seam-section.ts';
import { LEAST_SEAT_MM } from './strip-solids.ts';

export type KindSettings = Pick<JointsSettings, 'skinMm' | 'pinMm' | 'rodMm' | 'magnetMm'> & {
  /** Of this seam's pair of machines and materials. */
  readonly clearanceMm: number;
};

/** What the choice is made from, mm. */
export interface SectionMeasures {
  /** Straight through it, in the middle along the inner edge; null for a face without inner side. */
  readonly wallMm: number | null;
  /** Diameter of the widest circle in the face. */
  readonly circleMm: number;
}

export interface KindChoice extends SectionMeasures {
  readonly kind: JointKind;
  /** Why there is none, or another kind than was asked for. */
  readonly why: string | null;
}

/** Walls thinner than this get tabs, from there on laps, and pins where a circle has room for one. */
export const LAPS_FROM_MM = 5;
export const PINS_FROM_MM = 7;

const PLACE_STEP_MM = 2;
/** Less is nothing beside a wall; a ring has a circle as wide as the widest all along it, and finer is slow there. */
const CIRCLE_EXACT_MM = 0.1;
/** What a wall may be off between the places where it was measured. */
const SPARE_MM = 0.1;

/** Cost: a closest point each 2 mm of inner edge, and the circle. */
export function sectionMeasures(section: SeamSection, ground: KeyGround): SectionMeasures {
  const places = innerLines(section).flatMap((line) => placesAlong(line, PLACE_STEP_MM));
  const circle = widestCircle(
    section.loops.map(({ flat }) => flat),
    CIRCLE_EXACT_MM,
  );
  return { wallMm: places.length === 0 ? null : wallAlong(ground, places), circleMm: 2 * circle.radiusMm };
}

/** The kind asked for where it fits, else by the wall: thin ones tabs, from 5 mm laps, from 7 mm pins where they fit. 'none' only where nothing fits, with
 *  what would. */
export function jointKindFor(measures: SectionMeasures, settings: KindSettings, asked?: JointKind): KindChoice {
  if (asked !== undefined) {
    const why = whyNot(asked, measures, settings);
    if (why === null) return { ...measures, kind: asked, why };
    const usual = jointKindFor(measures, settings);
    return { ...usual, why: `Asked for ${asked}. ${why}${usual.kind === 'none' ? '' : ` It gets ${usual.kind}.`}` };
  }
  const order = usualOrder(measures.wallMm);
  const kind = order.find((one) => whyNot(one, measures, settings) === null);
  if (kind !== undefined) return { ...measures, kind, why: null };
  return { ...measures, kind: 'none', why: whyNot(order.at(-1)!, measures, settings) };
}

function usualOrder(wallMm: number | null): readonly JointKind[] {
  if (wallMm === null) return ['pins', 'rods'];
  if (wallMm < LAPS_FROM_MM) return ['tabs'];
  return wallMm < PINS_FROM_MM ? ['laps', 'tabs'] : ['pins', 'laps', 'tabs'];
}

/** Null where the kind fits. */
export function whyNot(kind: JointKind, measures: SectionMeasures, settings: KindSettings): string | null {
  const { skinMm, clearanceMm, pinMm, rodMm, magnetMm } = settings;
  switch (kind) {
    case 'none':
      return null;
    case 'pins':
      return whyNotRound('pin', pinMm, measures, settings);
    case 'rods':
      return whyNotRound('rod', rodMm, measures, settings);
    case 'magnets':
    case 'screws':
      // in bosses on the inside; without an inside, in the face itself
      return measures.wallMm === null
        ? whyNotRound(kind === 'magnets' ? 'magnet' : 'screw', magnetMm[0], measures, settings)
        : null;
    case 'tabs':
      return tooThin(
        measures,
        skinMm,
        (wall) => `A wall of ${wall} is thinner than the ${mm(skinMm)} that a tab wants to stand on`,
      );
    case 'laps': {
      const least = skinMm + clearanceMm + LEAST_LAP_MM + SPARE_MM;
      return tooThin(
        measures,
        least,
        (wall, left) =>
          `A wall of ${wall} leaves ${mm(Math.max(0, left + LEAST_LAP_MM))} for a lap beside ${mm(skinMm)} of skin and the clearance of ${mm2(clearanceMm)}; a lap wants ${mm(LEAST_LAP_MM)}`,
      );
    }
    case 'strips': {
      const least = skinMm + LEAST_SEAT_MM + SPARE_MM;
      return tooThin(
        measures,
        least,
        (wall, left) =>
          `A wall of ${wall} leaves ${mm(Math.max(0, left + skinMm))} under a seat of ${mm(LEAST_SEAT_MM)}; ${mm(skinMm)} is to stay`,
      );
    }
  }
}

function tooThin(
  { wallMm }: SectionMeasures,
  leastMm: number,
  say: (wall: string, leftMm: number) => string,
): string | null {
  if (wallMm === null) return 'The face has no inner side for a key to lie on.';
  if (wallMm >= leastMm) return null;
  return `${say(mm(wallMm), wallMm - leastMm)}; a wall of ${mm(roundedUp(leastMm))} would do.`;
}

function whyNotRound(
  what: string,
  diameterMm: number,
  { circleMm }: SectionMeasures,
  { skinMm, clearanceMm }: KindSettings,
): string | null {
  const round = 2 * (clearanceMm + skinMm);
  if (circleMm >= diameterMm + round) return null;
  const fits = Math.floor((circleMm - round) * 10) / 10;
  const instead =
    fits >= LEAST_ROUND_MM
      ? `a ${what} of ${mm(fits)} would do`
      : `a wall of ${mm(roundedUp(diameterMm + round))} would do`;
  return `The widest circle in the face is ${mm(circleMm)} across; a ${what} of ${mm(diameterMm)} with ${mm2(clearanceMm)} of clearance and ${mm(skinMm)} of wall round it wants ${mm(diameterMm + round)}; ${instead}.`;
}

/** Thinner ones break when the pieces are pulled apart. */
const LEAST_ROUND_MM = 1.5;

function roundedUp(value: number): number {
  return Math.ceil(value * 10 - 1e-6) / 10;
}

function mm(value: number): string {
  return `${value.toFixed(1)} mm`;
}

function mm2(value: number): string {
  return `${value.toFixed(2)} mm`;
}
