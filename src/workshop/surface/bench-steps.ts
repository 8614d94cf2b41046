// The rounds and coats as steps: fill, sand, prime, sand; then colour and clear coat. Each waits for the one before.
import { MEETINGS } from '../facts/coats.ts';
import { FILLERS, FINISH_TOOLS, type FillerName } from '../facts/finishing.ts';
import type { Step } from '../process/step.ts';
import type { CoatLayer } from '../process/surface-record.ts';
import { CAUTIONS } from './cautions.ts';
import { coatWords } from './coat-words.ts';
import { papersOf, papersWords } from './papers.ts';
import { areaOf, type Patch } from './patches.ts';
import { filledIn, type RoundPlan, sandedBare, sandedPrimed } from './round-plan.ts';
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

/** Shorter edges are no work of their own, mm. */
const LEAST_FLARE_MM = 10;

function bareSteps(plan: RoundPlan, settings: SurfaceSettings): readonly Put[] {
  const { bare } = papersOf(settings);
  const sanded = sandedBare(plan, settings);
  const steps: Put[] = [];
  if (plan.flareMm >= LEAST_FLARE_MM)
    steps.push({
      id: 'scrape-flare',
      name: 'Scrape the flared edges of first layers',
      handsOnS: settings.numbers.startMin * 60 + (plan.flareMm / 10) * settings.numbers.scrapeS,
      unattendedS: 0,
      needs: ['blade'],
      caution: CAUTIONS.blade,
    });
  if (sanded.length > 0)
    steps.push({
      id: 'sand-bare',
      name: `Sand ${sanded.length === plan.outside.length ? 'all of the outside' : 'what shows'} with ${papersWords(bare)}, the ridges only`,
      handsOnS: sandingS(sanded, bare.length, settings),
      unattendedS: 0,
      needs: bare.map((grade) => `paper P${grade}`),
      caution: CAUTIONS.dust,
    });
  return steps;
}

function roundSteps(plan: RoundPlan, round: number, settings: SurfaceSettings): readonly Put[] {
  const { numbers, primerCoats, primerBase } = settings;
  const { primer, last } = papersOf(settings);
  const finest = round === plan.rounds ? last : [];
  const below = { id: `prime-${round - 1}`, coats: primerCoats };
  const again = round === 1 ? {} : { window: windowOf(below, MEETINGS[primerBase][primerBase], settings) };
  const primed = sandedPrimed(plan, round, settings);
  const mm2 = plan.primedMm2[round - 1]!;
  const steps: Put[] = [
    ...fillSteps(filledIn(plan, round, settings), round, settings),
    {
      id: `prime-${round}`,
      name: `Round ${round}: wash off the dust, degrease, prime ${round === 1 ? 'all of it' : 'what still shows'}, ${coatsWords(primerCoats, settings)}, and a mist of guide coat`,
      handsOnS: numbers.cleanMin * 60 + sprayingS(mm2, primerCoats, settings) + guidingS(mm2, settings),
      unattendedS: (numbers.primerDryMin + (primerCoats - 1) * numbers.betweenCoatsMin) * 60,
      coats: { count: primerCoats, apartS: numbers.betweenCoatsMin * 60 },
      ...again,
      needs: [FILLERS.primer.name, 'guide coat', 'degreaser', 'masking tape'],
      caution: CAUTIONS.primer,
    },
  ];
  if (primed.length === 0 && finest.length === 0) return steps;
  const first = primed.length === 0 ? [] : [`sand it with P${primer} until the guide coat is gone`];
  const then =
    finest.length === 0 ? [] : [`${primed.length === 0 ? 'sand' : 'then'} all of it with ${papersWords(finest)}`];
  return [
    ...steps,
    {
      id: `sand-${round}`,
      name: `Round ${round}: ${[...first, ...then].join('; ')}`,
      handsOnS:
        sandingS(primed, primed.length === 0 ? 0 : 1, settings) + sandingS(plan.outside, finest.length, settings),
      unattendedS: 0,
      needs: [...(primed.length === 0 ? [] : [primer]), ...finest].map((grade) => `paper P${grade}`),
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

/** The last coat of all hardens. */
function coatSteps(plan: RoundPlan, coats: readonly CoatLayer[], settings: SurfaceSettings): readonly Put[] {
  const { numbers, primerCoats } = settings;
  let below: Coated = { id: `prime-${plan.rounds}`, coats: primerCoats };
  const steps = coats.slice(1).map((layer, i): Put => {
    const window = windowOf(below, layer.meets, settings);
    if (layer.kind === 'wash') return washStep(plan, layer, window, settings);
    const step = sprayStep(plan, layer, { above: coats.slice(i + 2), window }, settings);
    below = { id: step.id, coats: layer.coats };
    return step;
  });
  const last = steps.at(-1);
  const what =
    last === undefined ? 'primer' : last.id === 'wash' ? 'wash' : last.id === 'spray-paint' ? 'colour' : 'clear coat';
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

function sprayStep(
  plan: RoundPlan,
  layer: CoatLayer,
  { above, window }: { readonly above: readonly CoatLayer[]; readonly window: Window },
  settings: SurfaceSettings,
): Put {
  const { numbers } = settings;
  const isColour = layer.kind === 'paint';
  const isBelowWash = !isColour && above.some(({ kind }) => kind === 'wash');
  // what goes over itself need not dry first
  const thenMin =
    above[0]?.meets === 'again' && above[0].kind !== 'wash' ? numbers.betweenCoatsMin : numbers.paintDryMin;
  return {
    id: isColour ? 'spray-paint' : isBelowWash ? 'spray-clear-below' : 'spray-clear',
    name: `${isColour ? 'Wash off the dust, degrease, spray' : 'Spray'} the ${coatWords(layer)}, ${coatsWords(layer.coats, settings)}${isBelowWash ? ', before the wash' : ''}${badWords(layer)}`,
    handsOnS: (isColour ? numbers.cleanMin * 60 : 0) + sprayingS(plan.areaMm2, layer.coats, settings),
    unattendedS: (thenMin + (layer.coats - 1) * numbers.betweenCoatsMin) * 60,
    coats: { count: layer.coats, apartS: numbers.betweenCoatsMin * 60 },
    window,
    needs: [coatWords(layer), ...(isColour ? ['degreaser'] : [])],
    caution: CAUTIONS.primer,
  };
}

/** Water dries like paint; white spirit has to leave the film first. */
function washStep(plan: RoundPlan, layer: CoatLayer, window: Window, { numbers }: SurfaceSettings): Put {
  return {
    id: 'wash',
    name: `Lay the ${coatWords(layer)} into creases and wipe it back${badWords(layer)}`,
    handsOnS: numbers.startMin * 60 + (plan.areaMm2 / 100) * numbers.washS,
    unattendedS: layer.base === 'spirit' ? numbers.laterH * 3600 : numbers.paintDryMin * 60,
    window,
    needs: [coatWords(layer), 'rag'],
    caution: layer.base === 'spirit' ? CAUTIONS.spirit : null,
  };
}

function badWords({ meets }: CoatLayer): string {
  return meets === 'never' ? ' (it must not meet what lies below: see the caution)' : '';
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

/** Each coat is set up for. */
function sprayingS(areaMm2: number, coats: number, { numbers }: SurfaceSettings): number {
  return coats * (numbers.startMin * 60 + (areaMm2 / 100) * numbers.sprayS);
}

function guidingS(areaMm2: number, { numbers }: SurfaceSettings): number {
  return numbers.startMin * 60 + numbers.guideTimes * (areaMm2 / 100) * numbers.sprayS;
}

function coatsWords(count: number, { numbers }: SurfaceSettings): string {
  return count === 1 ? '1 coat' : `${count} coats ${numbers.betweenCoatsMin} min apart`;
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
