// What fills, primes and sands a printed surface: films, packs, times. Sources and grades: docs/facts.md.

export type FillerName = 'primer' | 'resin' | 'putty' | 'filler';

export interface FillerFacts {
  readonly name: string;
  /** What one round of it fills at most, mm. */
  readonly fillMm: number;
  /** Until it can be sanded, s. */
  readonly drySlowS: number;
  /** A small pack, ml. */
  readonly packMl: number;
}

/** primer: three coats of filler primer of 30 micrometres, common practice, no source. resin: a brushed coat, common practice, no source. putty: a sheet of one-part acrylic
 *  putty dries thin coats in 30 to 60 minutes; overnight is common practice; web pages and practice allow 1.5 mm a coat, and 0.3 is what a thin
 *  pull leaves. filler: two-part polyester, sandable after about 20 minutes by a paint formulation column; a millimetre a pull by practitioners. Packs: common practice. */
export const FILLERS: Readonly<Record<FillerName, FillerFacts>> = {
  primer: { name: 'filler primer', fillMm: 0.09, drySlowS: 90 * 60, packMl: 400 },
  resin: { name: 'brush-on resin', fillMm: 0.2, drySlowS: 24 * 3600, packMl: 250 },
  putty: { name: 'one-part glazing putty', fillMm: 0.3, drySlowS: 12 * 3600, packMl: 100 },
  filler: { name: 'two-part filler', fillMm: 1, drySlowS: 20 * 60, packMl: 250 },
};

/** How deep a valley may stay, by what the piece is for, mm. Common practice, no source: a twentieth of a millimetre is felt with a nail, and a camera's light from
 *  the side shows less than that. */
export const ALLOWED_MM = { stage: 0.12, hand: 0.04, camera: 0.015 } as const;

/** What the nibs of support stand out and what they tear, mm. Common practice, no source. */
export const SCAR_MM = 0.3;
/** How wide a step is feathered out, in times its height, and what is left on the knife, rag and sheet. Common practice, no source. */
export const FEATHER = 20;
export const WASTE = 1.3;
/** Laid on over what is meant to stay, mm: a pull stands proud so that it can be sanded level. Common practice, no source. */
export const PROUD_MM = 0.2;

/** One coat from a can of 400 ml on a flat sheet, m2: 0.7 to 1.1 by a web guide to high-build primer; and the share of it that a small round piece gets.
 *  Common practice, no source: a quarter to two fifths of a spray lands, against half and more on a sheet. */
export const CAN_M2 = 0.9;
export const ROUND_PIECE_SHARE = 0.7;

/** Primer from a tin, through a gun: solids and dry film of a coat as sheets of primer surfacers tell them, from memory; a quarter of an air spray lands by a rule of law, practitioners measure
 *  a fifth to a half on small surfaces. */
export const GUN_PRIMER = { solidsPercent: 40, dryUm: 30, reaching: 0.3, packMl: 1000 } as const;

/** What sands a place, worst first: nothing flat reaches it and paper is folded or wrapped round a stick; then each tool of the ladder. heightMm: of what follows behind its
 *  face and may not run into the piece. sandSCm2: hands for a square centimetre with one paper. Common practice, no source. */
export const FINISH_TOOLS = [
  { name: 'folded paper', heightMm: 0, sandSCm2: 3 },
  { name: 'swab', heightMm: 12, sandSCm2: 2.5 },
  { name: 'finger', heightMm: 20, sandSCm2: 1.2 },
  { name: 'block', heightMm: 40, sandSCm2: 0.6 },
  { name: 'sander', heightMm: 100, sandSCm2: 0.3 },
] as const;

/** Hands, common practice, no source: each square centimetre masked and sprayed a coat, puttied; and setting up for a coat or a paper. */
export const FINISH_HANDS = { spraySCm2: 0.02, puttySCm2: 3, startS: 300 } as const;
/** A sheet of 230 x 280 mm is worn after so much of filled plastic, m2. Common practice, no source. */
export const SHEET_M2 = 0.12;
/** Two-part filler: hardener by weight, percent; until it sets in the pot, s; and how warm it has to be. A how-to and a paint formulation column (1 to 3 percent), a trade technician (18
 *  degrees at least); the time in the pot is common practice, no source. */
export const TWO_PART = { hardenerPercent: 2, potS: 5 * 60, leastC: 18, densityGMl: 1.8 } as const;
/** Solvent spray over itself: soon, or when the first coat has dried through. Common practice, no source; the can says its own. */
export const RECOAT = { soonS: 3600, afterS: 24 * 3600 } as const;
/** Before it is handled or taped, s. Common practice, no source. */
export const HARDEN_S = 24 * 3600;

/** Between coats, s. Common practice, no source. */
export const BETWEEN_COATS_S = 20 * 60;

/** Least of the surface over the dew point, degrees, and most humidity, percent: the concept of ISO 8502-4; a sheet of a plastic primer asks 10 to 32 degrees. */
export const SPRAY_DAY = { overDewC: 3, mostHumidityPercent: 85, leastC: 10, mostC: 32 } as const;
