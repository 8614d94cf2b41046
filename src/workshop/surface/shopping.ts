// What the rounds and coats use up, in whole packs.
import { FILLERS, type FillerName } from '../facts/finishing.ts';
import type { CoatLayer, ShoppingLine } from '../process/surface-record.ts';
import { coatWords } from './coat-words.ts';
import { litresFor } from './film.ts';
import { papersOf } from './papers.ts';
import { areaOf } from './patches.ts';
import { filledIn, fillingMl, type RoundPlan, sandedBare, sandedPrimed } from './round-plan.ts';
import { fillMm } from './rounds.ts';
import type { SurfaceSettings } from './surface-settings.ts';

export function shoppingList(
  plan: RoundPlan,
  coats: readonly CoatLayer[],
  settings: SurfaceSettings,
): readonly ShoppingLine[] {
  const primedMm2 = plan.primedMm2.reduce((sum, mm2) => sum + mm2, 0);
  return [
    ...fillerLines(plan, settings),
    primerLine(primedMm2, settings),
    guideLine(primedMm2, settings),
    ...paintLines(plan.areaMm2, coats, settings),
    ...washLine(plan.areaMm2, settings),
    ...paperLines(plan, settings),
  ];
}

/** What fills seams and what fills layer lines; one line where that is the same. */
function fillerLines(plan: RoundPlan, settings: SurfaceSettings): readonly ShoppingLine[] {
  const ml = new Map<FillerName, number>([[settings.seams, fillingMl(plan, settings).laid]]);
  if (settings.rings !== 'primer') {
    const lines = plan.outside.filter(({ of }) => of === 'lines');
    const laid = lines.reduce((sum, one) => sum + one.areaMm2 * fillMm(settings.rings, settings) * one.rounds, 0);
    ml.set(settings.rings, (ml.get(settings.rings) ?? 0) + (laid * settings.numbers.wasteTimes) / 1000);
  }
  return [...ml]
    .filter(([, amount]) => amount > 0)
    .map(([filler, amount]) => {
      const { name, pack, packMl } = FILLERS[filler];
      return lineOf({ what: name, ml: amount, pack, packMl: settings.numbers[packMl] }, settings.numbers);
    });
}

interface Sprayed {
  readonly what: string;
  /** Area times coats. */
  readonly coatedMm2: number;
  readonly from: 'can' | 'gun';
  /** What a can covers on a sheet in one coat. */
  readonly canM2: number;
  readonly film: { readonly solidsPercent: number; readonly dryUm: number };
}

/** By what a can covers, less on a round piece; or by the film of a coat and what of the spray lands. */
function sprayedLine({ what, coatedMm2, from, canM2, film }: Sprayed, { numbers }: SurfaceSettings): ShoppingLine {
  const { canMl, tinMl, roundTimes, landsPercent } = numbers;
  const byCan = { what, ml: (coatedMm2 * canMl) / (canM2 * roundTimes * 1e6), pack: 'can', packMl: canMl };
  const byGun = { what, ml: 1000 * litresFor(coatedMm2, 1, film, landsPercent / 100), pack: 'tin', packMl: tinMl };
  return lineOf(from === 'can' ? byCan : byGun, numbers);
}

function primerLine(primedMm2: number, settings: SurfaceSettings): ShoppingLine {
  const { primerCoats, primerFrom, canM2, numbers } = settings;
  const film = { solidsPercent: numbers.primerSolids, dryUm: numbers.primerDryUm };
  const of = { what: FILLERS.primer.name, coatedMm2: primedMm2 * primerCoats, from: primerFrom, canM2, film };
  return sprayedLine(of, settings);
}

/** A mist of another colour over each round of primer, to see the lows by. */
function guideLine(primedMm2: number, settings: SurfaceSettings): ShoppingLine {
  const { paintCanM2, guideTimes, canMl, roundTimes } = settings.numbers;
  const ml = (primedMm2 * guideTimes * canMl) / (paintCanM2 * roundTimes * 1e6);
  return lineOf({ what: 'guide coat', ml, pack: 'can', packMl: canMl }, settings.numbers);
}

/** Clear coat before and after it is one line. */
function paintLines(areaMm2: number, coats: readonly CoatLayer[], settings: SurfaceSettings): readonly ShoppingLine[] {
  const { paint, clear, numbers } = settings;
  const film = { solidsPercent: numbers.paintSolids, dryUm: numbers.paintDryUm };
  return (['paint', 'clear'] as const).flatMap((kind) => {
    const [first, ...more] = coats.filter((layer) => layer.kind === kind);
    if (first === undefined) return [];
    const { from } = kind === 'paint' ? paint : clear;
    const canM2 = kind === 'paint' ? numbers.paintCanM2 : numbers.clearCanM2;
    const coatedMm2 = areaMm2 * first.coats * (1 + more.length);
    return [sprayedLine({ what: coatWords(first), coatedMm2, from, canM2, film }, settings)];
  });
}

function washLine(areaMm2: number, { wash, numbers }: SurfaceSettings): readonly ShoppingLine[] {
  if (wash === 'none') return [];
  const what = coatWords({ kind: 'wash', base: wash });
  return [lineOf({ what, ml: areaMm2 * 1e-6 * numbers.washMl, pack: 'bottle', packMl: numbers.washPackMl }, numbers)];
}

function paperLines(plan: RoundPlan, settings: SurfaceSettings): readonly ShoppingLine[] {
  const { bare, primer, last } = papersOf(settings);
  const filledMm2 = Array.from({ length: plan.rounds }, (_, i) => areaOf(filledIn(plan, i + 1, settings)));
  const used = new Map<number, number>();
  const use = (grade: number, mm2: number): void => void used.set(grade, (used.get(grade) ?? 0) + mm2);
  const bareMm2 = areaOf(sandedBare(plan, settings)) + filledMm2.reduce((sum, mm2) => sum + mm2, 0);
  for (const grade of bare) use(grade, bareMm2);
  for (let round = 1; round <= plan.rounds; round++) use(primer, areaOf(sandedPrimed(plan, round, settings)));
  for (const grade of last) use(grade, plan.areaMm2);
  const { sheetCm2, spareTimes } = settings.numbers;
  return [...used]
    .filter(([, amount]) => amount > 0)
    .map(([grade, amount]) => {
      const packs = Math.ceil((amount * spareTimes) / (sheetCm2 * 100) - 1e-9);
      return { what: `paper P${grade}`, amount, unit: 'mm2', packs, pack: packs === 1 ? 'sheet' : 'sheets' };
    });
}

interface Used {
  readonly what: string;
  readonly ml: number;
  readonly pack: string;
  readonly packMl: number;
}

function lineOf({ what, ml, pack, packMl }: Used, { spareTimes }: SurfaceSettings['numbers']): ShoppingLine {
  const packs = Math.ceil((ml * spareTimes) / packMl - 1e-9);
  return { what, amount: ml, unit: 'ml', packs, pack: `${pack} of ${packMl} ml` };
}
