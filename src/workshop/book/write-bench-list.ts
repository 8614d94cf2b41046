// Writes what the finish is sprayed with, what to buy for it and what to do in which order.
import { listed } from '../../base/listed.ts';
import { type Meeting, UNDER_WATER_GRADE } from '../facts/coats.ts';
import { lyingUnder } from '../process/lying-under.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import type { Block } from './book-text.ts';
import type { Build } from './build-file.ts';
import { quantity, say, text, wholeMinutes } from './spans.ts';

/** Two-part filler is mixed by weight, and only what is used within its time. */
export function mixSentence(build: Build, { fillingMl }: SurfaceRecord): readonly Block[] {
  if (build.surface.seams !== 'filler' || fillingMl.laid === 0) return [];
  const { hardenerPercent, potMin, mixLeastC, fillerDensity } = build.surface.numbers;
  const grams = fillingMl.laid * fillerDensity;
  return [
    say(
      'Two-part filler is mixed by weight, ',
      quantity(hardenerPercent, 'percent', hardenerPercent % 1 === 0 ? 0 : 1),
      ' of hardener: ',
      quantity((grams * hardenerPercent) / 100, 'g', 1),
      ' to all of the ',
      quantity(grams, 'g'),
      '. It sets in the pot within ',
      quantity(potMin * 60, 's'),
      `, so mix a few grams at a time, not below ${mixLeastC} °C.`,
    ),
  ];
}

/** How each layer meets the one below. */
export function coatSentences(build: Build, { coats }: SurfaceRecord): readonly Block[] {
  const { betweenCoatsMin, soonH, laterH } = build.surface.numbers;
  const last = build.surface.ladder.at(-1)!;
  const over = (meets: Meeting): readonly string[] =>
    coats.flatMap((layer, i) =>
      layer.meets === meets ? [`the ${KINDS[layer.kind]} over the ${KINDS[lyingUnder(coats, i).kind]}`] : [],
    );
  const [again, dry] = [over('again'), over('dry')];
  const isWater = coats.some(({ kind, base }) => kind === 'paint' && base === 'water');
  return [
    say(
      'Between coats of one layer wait ',
      quantity(betweenCoatsMin * 60, 's'),
      '. A solvent paint goes over its own kind within ',
      quantity(soonH * 3600, 's'),
      ' or after ',
      quantity(laterH * 3600, 's'),
      ', not between: it wrinkles a skin that is still soft below.',
      again.length === 0 ? '' : ` So it is with ${listed(again)}.`,
      dry.length === 0
        ? ''
        : ` Otherwise what lies below has to be dry through, ${laterH} h: so it is with ${listed(dry)}.`,
      ' The can says its own times, and a scrap tells whether two paints bear each other.',
      isWater && last < UNDER_WATER_GRADE
        ? ` Water-borne paint holds better on primer that was sanded with P${UNDER_WATER_GRADE}; the papers end at P${last}.`
        : '',
    ),
  ];
}

const KINDS = { primer: 'primer', paint: 'colour', wash: 'wash', clear: 'clear coat' } as const;

export function shoppingTable({ shopping }: SurfaceRecord): Block {
  return {
    b: 'table',
    caption: 'To have ready',
    columns: [
      { head: 'What', align: 'start' },
      { head: 'Used', align: 'end' },
      { head: 'Packs', align: 'end' },
    ],
    rows: shopping.map(({ what, amount, unit, packs, pack }) => [
      [text(what)],
      unit === 'ml' ? [text(`${amount.toFixed(0)} ml`)] : [quantity(amount, 'mm2')],
      [text(unit === 'ml' ? `${packs} × ${pack}` : `${packs} ${pack}`)],
    ]),
  };
}

/** What lies ready and is not used up. */
export function besidesSentence({ steps, shopping }: SurfaceRecord): readonly Block[] {
  const bought = new Set(shopping.map(({ what }) => what));
  const others = [...new Set(steps.flatMap(({ needs }) => needs))].filter((what) => !bought.has(what));
  return [
    say(
      `Besides these: ${listed([...others, 'discs of the same papers for the sander', 'block and sticks', 'gloves', 'the masks of the cautions and filters for them'])}.`,
    ),
  ];
}

/** By days from the first; a coat's window has been kept in them. */
export function stepTable({ steps, days }: SurfaceRecord): Block {
  return {
    b: 'table',
    caption: 'At the bench, in this order; day: when it can begin at the earliest, once the glue has cured',
    columns: [
      { head: 'Day', align: 'start' },
      { head: 'Step', align: 'start' },
      { head: 'Work', align: 'end' },
      { head: 'Then it dries', align: 'end' },
    ],
    rows: steps.map((step, i) => {
      const driesS = step.unattendedS - ((step.coats?.count ?? 1) - 1) * (step.coats?.apartS ?? 0);
      return [
        [text(String(days.starts[i]!))],
        [text(step.name + windowWords(steps, i))],
        step.handsOnS === 0 ? [] : [quantity(wholeMinutes(step.handsOnS), 's')],
        driesS === 0 ? [] : [quantity(driesS, 's')],
      ];
    }),
  };
}

/** Hours from the last coat below, which came so many waits after hands began to leave it. */
function windowWords(steps: SurfaceRecord['steps'], index: number): string {
  const { window } = steps[index]!;
  if (window === undefined) return '';
  const below = steps.find(({ id }) => id === window.of)!;
  const lastS = ((below.coats?.count ?? 1) - 1) * (below.coats?.apartS ?? 0);
  const hours = (s: number): string => `${Number(((s - lastS) / 3600).toFixed(1))} h`;
  const since = sinceS(steps, window.of, index);
  const late = `${hours(window.laterS)} after the coat below at the earliest`;
  return since <= window.soonS ? `; within ${hours(window.soonS)} of the last coat below, else ${late}` : `; ${late}`;
}

/** Least time from when hands left a step to when the one at `index` can begin. */
function sinceS(steps: SurfaceRecord['steps'], id: string, index: number): number {
  const from = steps.findIndex((step) => step.id === id);
  const between = steps.slice(from + 1, index);
  return steps[from]!.unattendedS + between.reduce((sum, step) => sum + step.handsOnS + step.unattendedS, 0);
}
