// Every number that filling, sanding and spraying is reckoned with: its usual value, its range, and how far it can be trusted. The maker may change each.

/** A law, standard, agency. B data sheet. C web page. M from memory. P common practice. */
export type Grade = 'A' | 'B' | 'C' | 'M' | 'P';

export interface FinishNumber {
  readonly what: string;
  readonly usual: number;
  readonly least: number;
  readonly most: number;
  readonly unit: 'mm' | 'um' | 'ml' | 's' | 'min' | 'h' | 'cm2' | 'm2' | 'percent' | 'times' | 'degC' | 'g/ml';
  readonly digits: number;
  readonly grade: Grade;
  readonly source: string;
}

type Range = readonly [usual: number, least: number, most: number];
type Unit = FinishNumber['unit'];

export const NONE = 'common practice, no source';

function practice(what: string, range: Range, unit: Unit, digits = 0): FinishNumber {
  return sourced(what, range, [unit, digits], ['P', NONE]);
}

function sourced(
  what: string,
  [usual, least, most]: Range,
  [unit, digits]: readonly [Unit, number],
  [grade, source]: readonly [Grade, string],
): FinishNumber {
  return { what, usual, least, most, unit, digits, grade, source };
}

/** A hand's share of a square centimetre with one paper, by the tool that reaches it, is named as FINISH_TOOLS names them. */
export const FINISH_NUMBERS = {
  allowedStageMm: practice('May stay for a stage, five metres off', [0.12, 0, 1], 'mm', 3),
  allowedHandMm: practice('May stay for the hand: a nail feels a twentieth', [0.04, 0, 1], 'mm', 3),
  allowedCameraMm: practice('May stay for a camera, lit from the side', [0.015, 0, 1], 'mm', 3),
  primerCoatMm: practice('A coat of filler primer fills (20 to 40 µm dry)', [0.03, 0.005, 0.2], 'mm', 3),
  resinMm: practice('A coat of brush-on resin fills', [0.2, 0.02, 1], 'mm', 2),
  puttyMm: sourced(
    'A thin pull of putty leaves (1.5 mm a coat are allowed)',
    [0.3, 0.05, 1.5],
    ['mm', 2],
    ['P', `${NONE}; the most, a web page on drying putty (C)`],
  ),
  fillerMm: sourced('A pull of two-part filler leaves (1.5 mm a pull are told)', [1, 0.1, 3], ['mm', 2], ['P', NONE]),
  scarMm: practice('Marks of support stand out or are torn', [0.3, 0, 2], 'mm', 2),
  misfitTimes: practice('Of what badly printed keys add to the step of a seam, counted', [0.5, 0, 1], 'times', 2),
  featherTimes: practice('A step is feathered out to so many times its height', [20, 1, 200], 'times'),
  proudMm: practice('Filler is laid on proud by', [0.2, 0, 2], 'mm', 2),
  wasteTimes: practice('Filler taken for each that is laid: knife, rag, sheet', [1.3, 1, 5], 'times', 1),
  spareTimes: practice('Bought for each that is used', [1.1, 1, 3], 'times', 2),
  primerDryMin: sourced(
    'Primer dries before it is sanded',
    [90, 5, 2880],
    ['min', 0],
    ['B', 'data sheet of a primer surfacer for the gun: 60 to 90'],
  ),
  resinDryH: practice('Resin cures before it is sanded', [24, 0.1, 168], 'h', 1),
  puttyDryH: sourced(
    'Putty dries before it is sanded: overnight',
    [12, 0.2, 96],
    ['h', 1],
    ['P', `${NONE}; a data sheet gives half an hour to an hour for thin coats (B)`],
  ),
  fillerDryMin: sourced(
    'Two-part filler sets before it is sanded',
    [20, 5, 1440],
    ['min', 0],
    ['B', 'a paint formulation column'],
  ),
  betweenCoatsMin: practice('Between coats', [20, 1, 600], 'min'),
  soonH: practice('Solvent paint goes over its own kind within', [1, 0, 24], 'h', 1),
  laterH: practice('Or after, in between it wrinkles; and what lies below is dry through after', [24, 0, 168], 'h', 1),
  hardenH: practice('The last coat hardens before it is handled or taped', [24, 0, 336], 'h', 1),
  hardenerPercent: sourced(
    'Hardener by weight',
    [2, 0.5, 5],
    ['percent', 1],
    ['C', 'a how-to; 1 to 3 by a column (B)'],
  ),
  potMin: practice('Mixed filler sets in the pot within', [5, 1, 60], 'min'),
  mixLeastC: sourced('Filler is mixed at no less than', [18, 0, 35], ['degC', 0], ['C', 'a trade technician']),
  fillerDensity: sourced('Two-part filler weighs', [1.8, 0.5, 3], ['g/ml', 1], ['M', 'from memory']),
  paintDryMin: sourced(
    'Colour and clear coats dry before the next layer of another kind',
    [240, 5, 2880],
    ['min', 0],
    ['B', 'data sheet of an alkyd gloss: 2 to 4 h to the touch'],
  ),
  paintCanM2: sourced(
    'A can of colour covers on a sheet in one coat',
    [2, 0.1, 6],
    ['m2', 2],
    ['C', 'advertised of 400 ml; yellow and orange a third'],
  ),
  clearCanM2: sourced(
    'A can of clear coat covers on a sheet in one coat',
    [1.7, 0.1, 6],
    ['m2', 2],
    ['C', 'web guide: 15 to 20 square feet'],
  ),
  roundTimes: practice('Of that on a small round piece', [0.7, 0.1, 1], 'times', 2),
  guideTimes: practice('A guide coat takes of a coat of colour', [0.25, 0, 1], 'times', 2),
  primerSolids: sourced(
    'Solids of primer from a tin',
    [40, 5, 100],
    ['percent', 0],
    ['M', 'sheets of primer surfacers, from memory'],
  ),
  primerDryUm: sourced('Its coat is dry', [30, 5, 200], ['um', 0], ['M', 'sheets of primer surfacers, from memory']),
  paintSolids: sourced(
    'Solids of colour and clear coat from a tin',
    [42, 5, 100],
    ['percent', 0],
    ['B', 'data sheet of an alkyd gloss: 42 to 43'],
  ),
  paintDryUm: sourced(
    'Their coat is dry',
    [40, 5, 200],
    ['um', 0],
    ['B', 'data sheet of an alkyd gloss: 37.5 to 62.5'],
  ),
  landsPercent: sourced(
    'Of what leaves the gun lands on the piece',
    [30, 5, 95],
    ['percent', 0],
    ['A', "a state's code on air spray: 25; practitioners 20 to 50 on small surfaces (B)"],
  ),
  washMl: practice('A wash takes, a m²', [60, 1, 1000], 'ml'),
  washPackMl: practice('A bottle of wash', [30, 5, 1000], 'ml'),
  canMl: practice('A can', [400, 50, 1000], 'ml'),
  tinMl: practice('A tin of primer or paint', [1000, 50, 5000], 'ml'),
  resinPackMl: practice('A bottle of resin', [250, 10, 5000], 'ml'),
  puttyPackMl: practice('A tube of putty', [100, 10, 2000], 'ml'),
  fillerPackMl: practice('A tin of two-part filler', [250, 10, 5000], 'ml'),
  sheetCm2: practice('A sheet of paper, 230 x 280 mm, is worn after', [1200, 50, 20_000], 'cm2'),
  startMin: practice('Setting up a coat, a pull or a paper', [5, 0, 60], 'min', 1),
  cleanMin: practice('Washing off dust and degreasing before primer or paint', [10, 0, 120], 'min', 1),
  sprayS: practice('Masking and spraying a coat, a cm²', [0.02, 0, 2], 's', 2),
  fillS: practice('Filling, a cm²', [3, 0, 60], 's', 1),
  washS: practice('Laying a wash and wiping it back, a cm²', [0.5, 0, 30], 's', 2),
  scrapeS: practice('Scraping a flared edge, a cm', [2, 0, 60], 's', 1),
  sanderS: practice('Sanding with one paper, a cm² under a sander', [0.3, 0.01, 30], 's', 2),
  blockS: practice('The same with a block', [0.6, 0.01, 30], 's', 2),
  fingerS: practice('The same with a finger', [1.2, 0.01, 30], 's', 2),
  swabS: practice('The same with a swab', [2.5, 0.01, 60], 's', 2),
  foldedS: practice('The same with folded paper', [3, 0.01, 60], 's', 2),
  swabBehindMm: practice('Behind the face of a swab', [12, 1, 200], 'mm'),
  fingerBehindMm: practice('Behind the face of a finger', [20, 1, 200], 'mm'),
  blockBehindMm: practice('Behind the face of a block', [40, 1, 200], 'mm'),
  sanderBehindMm: practice('Behind the plate of a sander', [100, 1, 400], 'mm'),
  widestStep: practice('The grain may shrink from paper to paper', [2, 1.1, 5], 'times', 2),
  overDewC: sourced('The piece stays over the dew point by', [3, 0, 15], ['degC', 1], ['A', 'concept of ISO 8502-4']),
  mostHumidity: sourced('Humidity at most', [85, 20, 100], ['percent', 0], ['A', 'concept of ISO 8502-4']),
  leastC: sourced('Air at least', [10, -10, 40], ['degC', 0], ['B', 'data sheet of a plastic primer']),
  mostC: sourced('Air at most', [32, 0, 60], ['degC', 0], ['B', 'data sheet of a plastic primer']),
} as const satisfies Readonly<Record<string, FinishNumber>>;

export type FinishNumberName = keyof typeof FINISH_NUMBERS;

/** Told in a sentence of its own or older than the list above: choices of the build, not of its numbers. */
export const CAN_M2: FinishNumber = sourced(
  'A can of filler primer covers on a sheet in one coat',
  [0.9, 0.1, 5],
  ['m2', 2],
  ['C', 'web guide to high-build primer: 0.7 to 1.1'],
);
export const PLAIN_STEP_MM: FinishNumber = practice(
  'Step at a seam without keys: laid by eye while the glue sets',
  [0.5, 0, 10],
  'mm',
  2,
);
