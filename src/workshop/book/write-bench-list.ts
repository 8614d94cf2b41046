// Writes what the finish is sprayed with, what to buy for it and what to do in which order.
import { listed } from '../../base/listed.ts';
import { type Meeting, UNDER_WATER_GRADE } from '../facts/coats.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import type { Block } from './book-text.ts';
import type { Build } from './build-file.ts';
import { quantity, say, text } from './spans.ts';

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
      layer.meets === meets ? [`the ${KINDS[layer.kind]} over the ${KINDS[coats[i - 1]!.kind]}`] : [],
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
        : ` Until what lies below is dry through, ${laterH} h, ${dry.length === 1 ? 'waits' : 'wait'} ${listed(dry)}.`,
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
      [text(`${packs} × ${pack}`)],
    ]),
  };
}

/** What lies ready and is not used up. */
export function besidesSentence({ steps, shopping }: SurfaceRecord): readonly Block[] {
  const bought = new Set(shopping.map(({ what }) => what));
  const others = [...new Set(steps.flatMap(({ needs }) => needs))].filter((what) => !bought.has(what));
  return [say(`Besides these: ${listed([...others, 'a tack cloth', 'gloves', 'the masks of the cautions'])}.`)];
}

export function stepTable(build: Build, { steps }: SurfaceRecord): Block {
  const { soonH, laterH } = build.surface.numbers;
  return {
    b: 'table',
    caption: 'At the bench, in this order',
    columns: [
      { head: 'Step', align: 'start' },
      { head: 'Hands', align: 'end' },
      { head: 'Then it dries', align: 'end' },
    ],
    rows: steps.map(({ name, handsOnS, unattendedS, window }, i) => {
      const late = `${laterH} h after the coat below at the earliest`;
      const isSoon = window !== undefined && sinceS(steps, window.of, i) <= window.soonS;
      const when =
        window === undefined ? '' : isSoon ? `; within ${soonH} h of the coat below, else ${late}` : `; ${late}`;
      return [
        [text(name + when)],
        handsOnS === 0 ? [] : [quantity(handsOnS, 's')],
        unattendedS === 0 ? [] : [quantity(unattendedS, 's')],
      ];
    }),
  };
}

/** Least time from when hands left a step to when the one at `index` can begin. */
function sinceS(steps: SurfaceRecord['steps'], id: string, index: number): number {
  const from = steps.findIndex((step) => step.id === id);
  const between = steps.slice(from + 1, index);
  return steps[from]!.unattendedS + between.reduce((sum, step) => sum + step.handsOnS + step.unattendedS, 0);
}
