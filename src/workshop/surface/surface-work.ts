// The rounds as work: what is laid on, primed and sanded when, what has to be bought for it, and how long hands and drying take.
import {
  BETWEEN_COATS_S,
  FEATHER,
  FILLERS,
  FINISH_HANDS,
  FINISH_TOOLS,
  type FillerName,
  GUN_PRIMER,
  HARDEN_S,
  PROUD_MM,
  ROUND_PIECE_SHARE,
  SHEET_M2,
  WASTE,
} from '../facts/finishing.ts';
import type { Step } from '../process/step.ts';
import type {
  PieceSurface,
  SeamSurface,
  ShoppingLine,
  SurfaceReach,
  SurfaceRecord,
} from '../process/surface-record.ts';
import { litresFor } from './film.ts';
import type { SurfaceSettings } from './surface-settings.ts';

const PRACTICE = 'Common practice, no source';
const CAUTIONS = {
  primer:
    'Spray burns and its solvents harm: outdoors or with moving air, no flame, a half mask with cartridges for organic vapour and a filter before them.',
  resin:
    'Uncured resin can make the skin allergic for good: gloves that it does not pass, no skin contact, sand only when it is fully cured and then wet.',
  putty:
    'The data sheet of such putty excludes plastics; makers use it all the same. Whether it holds on your plastic is yours to test on a scrap. Its solvent burns and harms: moving air, gloves.',
  filler:
    'Styrene in it harms and its hardener burns skin and eyes: moving air, a half mask for organic vapour, gloves and glasses. Mix only what you use within its time.',
  dust: 'Sand wet or wear a dust mask of class 2 at least.',
} as const;

type Work = Pick<SurfaceRecord, 'rounds' | 'primedMm2' | 'fillingMl' | 'shopping' | 'steps' | 'totals'>;

/** Nothing when nothing is seen. */
export function surfaceWork(
  { pieces, seams, reach }: Pick<SurfaceRecord, 'pieces' | 'seams'> & { readonly reach: Pick<SurfaceReach, 'areaMm2'> },
  settings: SurfaceSettings,
): Work {
  const classes = pieces.flatMap((piece) => piece.classes);
  const areaMm2 = classes.reduce((sum, one) => sum + one.areaMm2, 0);
  const rounds = Math.max(1, ...classes.map((one) => one.rounds), ...seams.map((one) => one.rounds));
  const atLeast = (round: number): number =>
    classes.reduce((sum, one) => sum + (one.rounds >= round ? one.areaMm2 : 0), 0) + seamMm2(seams, round);
  const primedMm2 = Array.from({ length: rounds }, (_, i) => (i === 0 ? areaMm2 : Math.min(areaMm2, atLeast(i + 1))));
  const filling = fillingOf(pieces, seams);
  // marks of support are filled as seams are, not with what fills the layer lines
  const lines = classes.filter(({ of }) => of !== 'scars');
  const given = { primedMm2, filling, classes: lines };
  const steps = stepsOf({ ...given, rounds, sandSCm2: sandSCm2(reach.areaMm2) }, settings);
  return {
    rounds,
    primedMm2,
    fillingMl: { laid: filling.laidMl, left: filling.leftMl },
    shopping: shoppingOf(given, settings),
    steps,
    totals: {
      areaMm2,
      handsOnS: steps.reduce((sum, { handsOnS }) => sum + handsOnS, 0),
      unattendedS: steps.reduce((sum, { unattendedS }) => sum + unattendedS, 0),
    },
  };
}

/** Hands for a square centimetre with one paper, over all that is reached by one tool or another: what is sanded in later rounds is taken to be as easy to reach
 *  as the whole. */
function sandSCm2(areaMm2: readonly number[]): number {
  const total = areaMm2.reduce((sum, area) => sum + area, 0);
  if (total === 0) return 0;
  return areaMm2.reduce((sum, area, i) => sum + area * FINISH_TOOLS[i]!.sandSCm2, 0) / total;
}

/** Where a seam is feathered out. */
function seamMm2(seams: readonly SeamSurface[], round: number): number {
  return seams.reduce(
    (sum, { rounds, lengthMm, stepMm }) => sum + (rounds >= round ? lengthMm * stepMm * FEATHER : 0),
    0,
  );
}

interface Filling {
  /** Still to be filled in this round, from 1. */
  readonly inRoundMm2: (round: number) => number;
  readonly laidMl: number;
  readonly leftMl: number;
}

/** On seams a wedge from the step out to nothing, on scars half of what stands out; laid on proud and with waste. */
function fillingOf(pieces: readonly PieceSurface[], seams: readonly SeamSurface[]): Filling {
  const onSeams = seams
    .filter(({ rounds }) => rounds > 0)
    .map(({ lengthMm, stepMm, rounds }) => ({ areaMm2: lengthMm * stepMm * FEATHER, deepMm: stepMm / 2, rounds }));
  const onScars = pieces.flatMap(({ classes }) =>
    classes
      .filter(({ of, rounds }) => of === 'scars' && rounds > 0)
      .map(({ areaMm2, needMm, rounds }) => ({ areaMm2, deepMm: needMm / 2, rounds })),
  );
  const all = [...onSeams, ...onScars];
  const sum = (of: (one: (typeof all)[number]) => number): number => all.reduce((total, one) => total + of(one), 0);
  return {
    inRoundMm2: (round) => sum(({ areaMm2, rounds }) => (rounds >= round ? areaMm2 : 0)),
    laidMl: (sum(({ areaMm2, deepMm }) => areaMm2 * (deepMm + PROUD_MM)) * WASTE) / 1000,
    leftMl: sum(({ areaMm2, deepMm }) => areaMm2 * deepMm) / 1000,
  };
}

interface Given {
  readonly primedMm2: readonly number[];
  readonly filling: Filling;
  readonly classes: readonly { readonly areaMm2: number; readonly rounds: number }[];
}

function shoppingOf({ primedMm2, filling, classes }: Given, settings: SurfaceSettings): readonly ShoppingLine[] {
  const lines: ShoppingLine[] = [
    primerLine(
      primedMm2.reduce((sum, mm2) => sum + mm2, 0),
      settings,
    ),
  ];
  lines.push(...fillerLines(filling, classes, settings));
  const inRoundsMm2 = primedMm2.reduce((sum, mm2) => sum + mm2, 0);
  const allMm2 = primedMm2[0] ?? 0;
  const { coarse } = papersOf(settings.ladder);
  for (const [index, grade] of settings.ladder.entries()) {
    // the first one also takes the ridges down before anything is filled
    const sandedMm2 = (index < coarse.length ? inRoundsMm2 : allMm2) + (index === 0 ? allMm2 : 0);
    const packs = Math.ceil(sandedMm2 / (SHEET_M2 * 1e6));
    lines.push({ what: `paper P${grade}`, amount: sandedMm2, unit: 'mm2', packs, pack: 'sheet' });
  }
  return lines;
}

/** What fills seams and what fills layer lines; one line where that is the same. */
function fillerLines(filling: Filling, classes: Given['classes'], settings: SurfaceSettings): readonly ShoppingLine[] {
  const ml = new Map<FillerName, number>([[settings.seams, filling.laidMl]]);
  if (settings.rings !== 'primer') {
    const mm3 = classes.reduce((sum, one) => sum + one.areaMm2 * FILLERS[settings.rings].fillMm * one.rounds, 0);
    ml.set(settings.rings, (ml.get(settings.rings) ?? 0) + (mm3 * WASTE) / 1000);
  }
  return [...ml]
    .filter(([, amount]) => amount > 0)
    .map(([filler, amount]) => lineOf(FILLERS[filler].name, amount, FILLERS[filler].packMl, PACKS[filler]));
}

const PACKS: Readonly<Record<FillerName, string>> = { primer: 'can', resin: 'bottle', putty: 'tube', filler: 'tin' };

/** The coarser half of a ladder levels what each round has laid; the finer one goes over all of it once, at the end. */
function papersOf(ladder: readonly number[]): { readonly coarse: readonly number[]; readonly fine: readonly number[] } {
  const half = Math.ceil(ladder.length / 2);
  return { coarse: ladder.slice(0, half), fine: ladder.slice(half) };
}

/** By what a can covers, less on a round piece; or by the film of a coat and what of the spray lands. `primedMm2`: of all rounds. */
function primerLine(primedMm2: number, { primerCoats, primerFrom, canM2 }: SurfaceSettings): ShoppingLine {
  const { name, packMl } = FILLERS.primer;
  if (primerFrom === 'gun')
    return lineOf(
      name,
      1000 * litresFor(primedMm2, primerCoats, GUN_PRIMER, GUN_PRIMER.reaching),
      GUN_PRIMER.packMl,
      'tin',
    );
  return lineOf(name, (primedMm2 * primerCoats * packMl) / (canM2 * ROUND_PIECE_SHARE * 1e6), packMl, 'can');
}

function lineOf(what: string, ml: number, packMl: number, pack: string): ShoppingLine {
  return { what, amount: ml, unit: 'ml', packs: Math.ceil(ml / packMl), pack: `${pack} of ${packMl} ml` };
}

/** In rounds: fill, prime, sand; every round waits for the one before. */
function stepsOf(
  { rounds, primedMm2, filling, classes, sandSCm2 }: Given & { readonly rounds: number; readonly sandSCm2: number },
  settings: SurfaceSettings,
): Step[] {
  const steps: Step[] = [];
  const put = (step: Omit<Step, 'after' | 'source' | 'place'>): void => {
    const after = steps.length === 0 ? [] : [steps.at(-1)!.id];
    steps.push({ ...step, after, place: step.id.startsWith('prime') ? 'spraying place' : 'bench', source: PRACTICE });
  };
  const [first] = settings.ladder;
  const { coarse, fine } = papersOf(settings.ladder);
  const sanded = (mm2: number, papers: number): number => papers * (FINISH_HANDS.startS + (mm2 / 100) * sandSCm2);
  put({
    id: 'sand-bare',
    name: `Sand all of the outside with P${first}, the ridges only`,
    handsOnS: sanded(primedMm2[0] ?? 0, 1),
    unattendedS: 0,
    needs: [`paper P${first}`],
    caution: CAUTIONS.dust,
  });
  for (let round = 1; round <= rounds; round++) {
    const mm2 = primedMm2[round - 1]!;
    const seamsMm2 = filling.inRoundMm2(round);
    if (seamsMm2 > 0)
      put({
        id: `fill-seams-${round}`,
        name: `Round ${round}: fill seams and marks of support with ${FILLERS[settings.seams].name}`,
        handsOnS: FINISH_HANDS.startS + (seamsMm2 / 100) * FINISH_HANDS.puttySCm2,
        unattendedS: FILLERS[settings.seams].drySlowS,
        needs: [FILLERS[settings.seams].name, 'knife', 'rag'],
        caution: CAUTIONS[settings.seams],
      });
    if (settings.rings !== 'primer') {
      const filled = classes.reduce((sum, one) => sum + (one.rounds >= round ? one.areaMm2 : 0), 0);
      if (filled > 0)
        put({
          id: `fill-${round}`,
          name: `Round ${round}: lay ${FILLERS[settings.rings].name} over the layer lines`,
          handsOnS: FINISH_HANDS.startS + (filled / 100) * FINISH_HANDS.puttySCm2,
          unattendedS: FILLERS[settings.rings].drySlowS,
          needs: [FILLERS[settings.rings].name],
          caution: CAUTIONS[settings.rings],
        });
    }
    const coats = settings.primerCoats;
    put({
      id: `prime-${round}`,
      name: `Round ${round}: prime ${round === 1 ? 'all of it' : 'what still shows'}, ${coats} ${coats === 1 ? 'coat' : 'coats'}`,
      handsOnS: FINISH_HANDS.startS + coats * (mm2 / 100) * FINISH_HANDS.spraySCm2,
      unattendedS: FILLERS.primer.drySlowS + (coats - 1) * BETWEEN_COATS_S,
      needs: [FILLERS.primer.name, 'guide coat'],
      caution: CAUTIONS.primer,
    });
    const finest = round === rounds ? fine : [];
    const then = finest.length === 0 ? '' : `; then all of it with P${finest.join(', P')}`;
    put({
      id: `sand-${round}`,
      name: `Round ${round}: sand it with P${coarse.join(', P')} until the guide coat is gone${then}`,
      handsOnS: sanded(mm2, coarse.length) + sanded(primedMm2[0] ?? 0, finest.length),
      unattendedS: 0,
      needs: [...coarse, ...finest].map((grade) => `paper P${grade}`),
      caution: CAUTIONS.dust,
    });
  }
  put({
    id: 'harden',
    name: 'Let the primer harden before it is handled, taped or painted',
    handsOnS: 0,
    unattendedS: HARDEN_S,
    needs: [],
    caution: null,
  });
  return steps;
}
