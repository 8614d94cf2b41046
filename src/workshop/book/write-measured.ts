// Says what the measured prints of a machine teach, lists them, and lets the maker note another one.
import { listed } from '../../base/listed.ts';
import { type MeasuredPrint, sumOfParts, type TimePart } from '../process/measured-print.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { Estimate, LearntMachine, PrintingRecord } from '../process/printing-record.ts';
import { MEASURED_RANGES } from '../process/workshop-ranges.ts';
import type { Block, MeasurablePrint, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { followsOf } from './editable.ts';
import { machineWords } from './machine-words.ts';
import { countWord, offer, quantity, say, text } from './spans.ts';
import { remove } from './write-asked.ts';

/** How sure the hours and grams are and from how many prints, machine by machine; what was measured; how to note more. */
export function measuredBlocks(build: Build, pieces: PiecesRecord, printing: PrintingRecord): readonly Block[] {
  const used = printing.learnt.filter(({ machine, prints }) => prints > 0 || printsOf(printing, machine).length > 0);
  return [
    ...used.map((learnt) => learntSentence(build, printing, learnt)),
    say(
      'A plus-minus holds for nine prints in ten. That of all prints together is not their sum: what the machine takes longer in one print it takes longer in all, but each print also comes out a little long or short by itself.',
    ),
    ...measuredTable(build),
    noteSentence(build, pieces, printing),
  ];
}

function printsOf(printing: PrintingRecord, machine: string): readonly (Estimate & { readonly printS: number })[] {
  const own = printing.prints.filter((print) => print.machine === machine);
  return printing.splices?.machine === machine ? [...own, printing.splices] : own;
}

function learntSentence(build: Build, printing: PrintingRecord, learnt: LearntMachine): Block {
  const index = build.machines.findIndex(({ id }) => id === learnt.machine);
  const the = build.machines.length === 1 ? 'the machine' : machineWords(build, index);
  const prints = printsOf(printing, learnt.machine);
  if (learnt.prints === 0)
    return say(
      `No print of ${the} has been measured, so its hours and grams come from its figures alone: speeds, accelerations, corners. A print may be off by `,
      ...typicalOff(prints),
      '. Note what a print took and weighed, and the hours of all others learn from it.',
    );
  return say(
    `From ${countWord(learnt.prints)} measured ${learnt.prints === 1 ? 'print' : 'prints'} of ${the}: `,
    ...hoursWords(prints),
    ...partWords(learnt, longerShare(prints)),
    ...gramsWords(learnt),
    ...(prints.length === 0 ? [] : ['. A print may still be off by ', ...typicalOff(prints)]),
    '.',
  );
}

/** Of the longest print: short ones are off by more. */
function typicalOff(prints: readonly (Estimate & { readonly printS: number })[]): readonly (string | Span)[] {
  const longest = prints.reduce((most, print) => (print.printS > most.printS ? print : most), prints[0]!);
  const grams = longest.estimated.g;
  return [
    quantity((100 * longest.plusMinusS) / longest.printS, 'percent', 0),
    ' of its hours and ',
    quantity((100 * longest.plusMinusG) / grams, 'percent', 0),
    ' of its grams either way',
  ];
}

/** Less is not worth a word. */
const LEAST_SHARE = 0.01;

/** How much longer than its figures say the machine takes for these prints, as a share. */
function longerShare(prints: readonly (Estimate & { readonly printS: number })[]): number {
  const before = prints.reduce((sum, { estimated }) => sum + sumOfParts(estimated.parts), 0);
  return before === 0 ? 0 : prints.reduce((sum, { printS }) => sum + printS, 0) / before - 1;
}

function hoursWords(prints: readonly (Estimate & { readonly printS: number })[]): readonly (string | Span)[] {
  if (prints.length === 0) return ['none of the pieces here is printed on it'];
  const share = longerShare(prints);
  if (Math.abs(share) < LEAST_SHARE) return ['what it prints here takes as long as its figures say'];
  return [
    'what it prints here takes ',
    quantity(100 * Math.abs(share), 'percent', 0),
    ` ${share > 0 ? 'longer' : 'less'} than its figures say`,
  ];
}

const PART_WORDS: Readonly<Record<TimePart, string>> = {
  contour: 'round contours',
  infill: 'on infill',
  closing: 'on closing layers',
  support: 'on support',
  travel: 'on ways without plastic and between layers',
  held: 'on layers that wait to cool',
  startUp: 'to start',
};
/** Their time does not go by how the machine moves. */
const UNMOVED: readonly TimePart[] = ['held', 'startUp'];

/** Parts told by name stand out from the whole by at least so much, and more surely than not. */
const STANDS_OUT = 0.05;
const SURER_THAN = 0.5;

function partWords({ factors }: LearntMachine, whole: number): readonly (string | Span)[] {
  const words = (Object.keys(PART_WORDS) as TimePart[]).flatMap((part) => {
    const { factor, plusMinus } = factors[part];
    const share = factor - 1;
    const usual = UNMOVED.includes(part) ? 0 : whole;
    if (Math.abs(share - usual) < Math.max(STANDS_OUT, SURER_THAN * plusMinus)) return [];
    if (Math.abs(share) < LEAST_SHARE) return [`as long as they say ${PART_WORDS[part]}`];
    return [`${(100 * Math.abs(share)).toFixed(0)} percent ${share > 0 ? 'longer' : 'less'} ${PART_WORDS[part]}`];
  });
  return words.length === 0 ? [] : [`, by the look of it ${listed(words)}`];
}

function gramsWords({ grams, weighed }: LearntMachine): readonly (string | Span)[] {
  if (weighed === 0) return ['; none was weighed'];
  const share = grams.factor - 1;
  const from = weighed === 1 ? 'the one that was weighed says' : `the ${countWord(weighed)} that were weighed say`;
  if (Math.abs(share) < LEAST_SHARE) return [`; ${from} that the grams are right`];
  return [
    `; ${from} that it lays `,
    quantity(100 * Math.abs(share), 'percent', 0),
    ` ${share > 0 ? 'more' : 'less'} plastic than estimated`,
  ];
}

function measuredTable(build: Build): readonly Block[] {
  const several = build.machines.length > 1;
  const rows = build.machines.flatMap(({ measured }, index) =>
    measured.map((print, at): readonly (readonly Span[])[] => [
      [text(print.name)],
      ...(several ? [[text(machineWords(build, index))]] : []),
      [quantity(sumOfParts(print.parts), 's')],
      [quantity(print.tookS, 's')],
      [quantity(print.estimatedG, 'g')],
      print.weighedG === null ? [text('–')] : [quantity(print.weighedG, 'g')],
      [remove(`machines.${index}.measured`, measured, { index: at, label: print.name, says: 'forget' })],
    ]),
  );
  if (rows.length === 0) return [];
  return [
    {
      b: 'table',
      caption: 'Measured prints, beside what was estimated then from the figures alone',
      columns: [
        { head: 'Print', align: 'start' },
        ...(several ? [{ head: 'Machine', align: 'start' } as const] : []),
        { head: 'Estimated', align: 'end' },
        { head: 'Took', align: 'end' },
        { head: 'Estimated', align: 'end' },
        { head: 'Weighed', align: 'end' },
        { head: '', align: 'end', offers: true },
      ],
      rows,
    },
  ];
}

/** Each print of the book may be noted when it has been printed. */
function noteSentence(build: Build, pieces: PiecesRecord, printing: PrintingRecord): Block {
  const prints = [
    ...printing.prints.map((print) => {
      const name = pieces.pieces.find(({ id }) => id === print.piece)?.name ?? '';
      return measurable(build, print, name === '' ? print.piece : `${print.piece} ${name}`);
    }),
    ...(printing.splices === null ? [] : [measurable(build, printing.splices, 'splices')]),
  ];
  return offer('Printed and measured: ', {
    s: 'measured',
    path: prints[0]?.path ?? 'machines.0.measured',
    label: 'A print that was measured',
    prints,
    tookS: [...MEASURED_RANGES.tookS],
    weighedG: [...MEASURED_RANGES.weighedG],
    follows: followsOf('machines.0.measured'),
  });
}

function measurable(build: Build, print: Estimate & { readonly machine: string }, name: string): MeasurablePrint {
  const { estimated } = print;
  const index = build.machines.findIndex(({ id }) => id === print.machine);
  const entry: Omit<MeasuredPrint, 'tookS' | 'weighedG'> = {
    name: name.slice(0, MOST_NAME),
    parts: mapped(estimated.parts),
    estimatedG: rounded(estimated.g, 2),
    material: build.material.id,
  };
  return {
    label: name,
    path: `machines.${index}.measured`,
    entry: JSON.stringify(entry),
    estimatedS: sumOfParts(estimated.parts),
    estimatedG: estimated.g,
  };
}

const MOST_NAME = 60;

function mapped(parts: MeasuredPrint['parts']): MeasuredPrint['parts'] {
  return Object.fromEntries(
    Object.entries(parts).map(([part, seconds]) => [part, rounded(seconds, 1)]),
  ) as MeasuredPrint['parts'];
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}
