// The rounds and coats as steps: fill, sand, prime, sand; then colour and clear coat. Each waits for the one before.
import { MEETINGS } from '../facts/coats.ts';
import { FILLERS, FINISH_TOOLS, type FillerName } from '../facts/finishing.ts';
import type { Step } from '../process/step.ts';
import type { CoatLayer } from '../process/surface-record.ts';
import { CAUTIONS } from './cautions.ts';
import { coatWords } from './coat-words.ts';
import { papersOf, papersWords } from './papers.ts';
import { areaOf, type Patch } from './patches.ts';
import { filledIn, type RoundPlan } from './round-plan.ts';
import type { SurfaceSettings } from './surface-settings.ts';

const PRACTICE = 'Common practice, no source';

type Put = Omit<Step, 'after' | 'source' | 'place'>;
type Window = NonNullable<Step['window']>;

export function benchSteps(plan: RoundPlan, coats: readonly CoatLayer[], settings: SurfaceSettings): Step[] {
  const steps: Put[] = [...bareSteps(plan, settings)];
  for (let round = 1; round <= plan.rounds; round++) steps.push(...roundSteps(plan, round, settings));
  steps.push(...coatSteps(plan, coats, settings));
  return steps.map((step, i) => ({
    ...step,
    after: i === 0 ? [] : [steps[i - 1]!.id],
    place: /^(prime|spray)/.test(step.id) ? 'spraying place' : 'bench',
    source: PRACTICE,
  }));
}

/** Seconds from the first step to the end of the last when hands never rest, with the windows of coats kept. */
export function leastElapsedS(steps: readonly Step[]): number {
  let nowS = 0;
  const doneS = new Map<string, number>();
  for (const { id, window, handsOnS, unattendedS } of steps) {
    const coatedS = window === undefined ? undefined : doneS.get(window.of);
    if (window !== undefined && coatedS !== undefined && nowS - coatedS > window.soonS)
      nowS = Math.max(nowS, coatedS + window.laterS);
    nowS += handsOnS;
    doneS.set(id, nowS);
    nowS += unattendedS;
  }
  return nowS;
}

/** Shorter edges are no work of their own, mm. */
const LEAST_FLARE_MM = 10;

function bareSteps(plan: RoundPlan, settings: SurfaceSettings): readonly Put[] {
  const { bare } = papersOf(settings);
  const sand: Put = {
    id: 'sand-bare',
    name: `Sand all of the outside with ${papersWords(bare)}, the ridges only`,
    handsOnS: sandingS(plan.outside, bare.length, settings),
    unattendedS: 0,
    needs: bare.map((grade) => `paper P${grade}`),
    caution: CAUTIONS.dust,
  };
  if (plan.flareMm < LEAST_FLARE_MM) return [sand];
  const scrape: Put = {
    id: 'scrape-flare',
    name: 'Scrape the flared edges of first layers',
    handsOnS: settings.numbers.startMin * 60 + (plan.flareMm / 10) * settings.numbers.scrapeS,
    unattendedS: 0,
    needs: ['blade'],
    caution: CAUTIONS.blade,
  };
  return [scrape, sand];
}

function roundSteps(plan: RoundPlan, round: number, settings: SurfaceSettings): readonly Put[] {
  const { numbers, primerCoats, primerBase } = settings;
  const filled = filledIn(plan, round, settings);
  const { primer, last } = papersOf(settings);
  const finest = round === plan.rounds ? last : [];
  const then = finest.length === 0 ? '' : `; then all of it with ${papersWords(finest)}`;
  const below = { id: `prime-${round - 1}`, coats: primerCoats };
  const again = round === 1 ? {} : { window: windowOf(below, MEETINGS[primerBase][primerBase], settings) };
  const primed = [...plan.outside, ...plan.seams].filter((one) => round === 1 || one.rounds >= round);
  return [
    ...fillSteps(filled, round, settings),
    {
      id: `prime-${round}`,
      name: `Round ${round}: prime ${round === 1 ? 'all of it' : 'what still shows'}, ${countOf(primerCoats, 'coat')}, and a mist of guide coat`,
      handsOnS: sprayingS(plan.primedMm2[round - 1]!, primerCoats, settings),
      unattendedS: (numbers.primerDryMin + (primerCoats - 1) * numbers.betweenCoatsMin) * 60,
      ...again,
      needs: [FILLERS.primer.name, 'guide coat'],
      caution: CAUTIONS.primer,
    },
    {
      id: `sand-${round}`,
      name: `Round ${round}: sand it with P${primer} until the guide coat is gone${then}`,
      handsOnS:
        sandingS(round === 1 ? plan.outside : primed, 1, settings) + sandingS(plan.outside, finest.length, settings),
      unattendedS: 0,
      needs: [primer, ...finest].map((grade) => `paper P${grade}`),
      caution: CAUTIONS.dust,
    },
  ];
}

/** Seams and marks of support with one filler, layer lines with another where primer is not enough; then all that is filled is sanded. */
function fillSteps(filled: readonly Patch[], round: number, settings: SurfaceSettings): readonly Put[] {
  if (filled.length === 0) return [];
  const { bare } = papersOf(settings);
  const lines = filled.filter(({ of }) => of === 'lines');
  const others = filled.filter(({ of }) => of !== 'lines');
  return [
    ...fillStep(
      others,
      { id: `fill-seams-${round}`, does: `Round ${round}: fill ${whatIs(others)}`, by: settings.seams },
      settings,
    ),
    ...fillStep(
      lines,
      { id: `fill-${round}`, does: `Round ${round}: go over the layer lines`, by: settings.rings },
      settings,
    ),
    {
      id: `sand-filling-${round}`,
      name: `Round ${round}: sand what is filled level with ${papersWords(bare)}`,
      handsOnS: sandingS(filled, bare.length, settings),
      unattendedS: 0,
      needs: bare.map((grade) => `paper P${grade}`),
      caution: CAUTIONS.dust,
    },
  ];
}

function fillStep(
  patches: readonly Patch[],
  { id, does, by }: { readonly id: string; readonly does: string; readonly by: FillerName },
  { numbers }: SurfaceSettings,
): readonly Put[] {
  if (patches.length === 0) return [];
  return [
    {
      id,
      name: `${does} with ${FILLERS[by].name}`,
      handsOnS: numbers.startMin * 60 + (areaOf(patches) / 100) * numbers.fillS,
      unattendedS: dryS(by, numbers),
      needs: [FILLERS[by].name, 'knife', 'rag'],
      caution: CAUTIONS[by],
    },
  ];
}

function whatIs(patches: readonly Patch[]): string {
  const has = (what: Patch['of']): boolean => patches.some(({ of }) => of === what);
  if (has('seam') && has('scars')) return 'seams and marks of support';
  return has('seam') ? 'seams' : 'marks of support';
}

function dryS(by: FillerName, numbers: SurfaceSettings['numbers']): number {
  if (by === 'putty') return numbers.puttyDryH * 3600;
  if (by === 'resin') return numbers.resinDryH * 3600;
  return (by === 'filler' ? numbers.fillerDryMin : numbers.primerDryMin) * 60;
}

interface Coated {
  readonly id: string;
  readonly coats: number;
}

/** A wash is Colour's own work: here its place in the order is kept. The last coat of all hardens. */
function coatSteps(plan: RoundPlan, coats: readonly CoatLayer[], settings: SurfaceSettings): readonly Put[] {
  const { numbers, primerCoats } = settings;
  const washAt = coats.findIndex(({ kind }) => kind === 'wash');
  let below: Coated = { id: `prime-${plan.rounds}`, coats: primerCoats };
  const steps = coats.flatMap((layer, i): readonly Put[] => {
    if (layer.kind === 'primer' || layer.kind === 'wash') return [];
    const when = washAt < 0 || layer.kind === 'paint' ? '' : i < washAt ? ', before the wash' : ', after the wash';
    const id = `spray-${layer.kind}${when === ', before the wash' ? '-below' : ''}`;
    // what goes over itself need not dry first
    const thenMin = coats[i + 1]?.meets === 'again' ? numbers.betweenCoatsMin : numbers.paintDryMin;
    const step: Put = {
      id,
      name: `Spray the ${coatWords(layer)}, ${countOf(layer.coats, 'coat')}${when}`,
      handsOnS: sprayingS(plan.areaMm2, layer.coats, settings),
      unattendedS: (thenMin + (layer.coats - 1) * numbers.betweenCoatsMin) * 60,
      window: windowOf(below, layer.meets, settings),
      needs: [coatWords(layer)],
      caution: CAUTIONS.primer,
    };
    below = { id, coats: layer.coats };
    return [step];
  });
  const last = steps.at(-1);
  const what = last === undefined ? 'primer' : last.id.startsWith('spray-clear') ? 'clear coat' : 'colour';
  return [
    ...steps,
    {
      id: 'harden',
      name: `Let the ${what} harden before it is handled${last === undefined ? ', taped or painted' : ' or taped'}`,
      handsOnS: 0,
      unattendedS: numbers.hardenH * 3600,
      needs: [],
      caution: null,
    },
  ];
}

/** From the last coat of the layer below, which came so many waits after the first. What is through dry is never too late; what lifts the coat below is at least put
 *  off until that is through dry. */
function windowOf({ id, coats }: Coated, meets: CoatLayer['meets'], { numbers }: SurfaceSettings): Window {
  const lastS = (coats - 1) * numbers.betweenCoatsMin * 60;
  return {
    of: id,
    soonS: meets === 'again' ? lastS + numbers.soonH * 3600 : 0,
    laterS: lastS + numbers.laterH * 3600,
  };
}

function sprayingS(areaMm2: number, coats: number, { numbers }: SurfaceSettings): number {
  return numbers.startMin * 60 + coats * (areaMm2 / 100) * numbers.sprayS;
}

/** With so many papers, each over all of it. */
function sandingS(patches: readonly Patch[], papers: number, { numbers }: SurfaceSettings): number {
  const once = patches.reduce(
    (all, { reachMm2 }) =>
      all + reachMm2.reduce((sum, mm2, tool) => sum + (mm2 / 100) * numbers[FINISH_TOOLS[tool]!.handsS], 0),
    0,
  );
  return papers * (numbers.startMin * 60 + once);
}

function countOf(n: number, what: string): string {
  return `${n} ${n === 1 ? what : `${what}s`}`;
}
