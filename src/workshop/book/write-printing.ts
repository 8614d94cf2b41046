// Writes the Printing chapter.
import { ABS, ASA, PETG, PLA } from '../facts/materials.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { Print, PrintingRecord, SplicesPrint } from '../process/printing-record.ts';
import type { Block, Span, Unit } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { failingSentence, riskSentences } from './failing-words.ts';
import { machineWords } from './machine-words.ts';
import { countWord, plusMinusHours, quantity, say, term, text } from './spans.ts';
import { measuredBlocks } from './write-measured.ts';
import { poseBlocks } from './write-poses.ts';

/** `scale`: worn over unscaled; null while it is not known. */
export function writePrinting(
  build: Build,
  pieces: PiecesRecord | null,
  printing: PrintingRecord | null,
  scale: number | null,
): readonly Block[] {
  const blocks: Block[] = [
    layerSentence(build),
    insideSentence(build),
    supportSentence(build),
    ...build.machines.map((_machine, index) => speedSentence(build, index)),
    failingSentence(build),
  ];
  if (pieces === null || printing === null || scale === null) return blocks;
  const { totals, prints, splices } = printing;
  const longest = prints.reduce((most, print) => (print.printS > most.printS ? print : most), prints[0]!);
  blocks.push(
    say(
      `${prints.length === 1 ? 'The one piece takes' : `Printed one after another, the ${countWord(prints.length)} pieces${splices === null ? '' : ' and the splices'} take`} `,
      quantity(totals.printS, 's'),
      ', give or take ',
      plusMinusHours(totals.plusMinusS),
      ', and ',
      quantity(totals.filamentG, 'g'),
      ' of material, with ',
      quantity(totals.supportG, 'g'),
      ' of support to throw away: ',
      quantity(totals.filamentM, 'm', 0),
      ' of filament. The grams may be off by ',
      quantity(totals.plusMinusG, 'g'),
      ' in all. The longest print is ',
      term(longest.piece),
      ' with ',
      quantity(longest.printS, 's'),
      '.',
    ),
    ...riskSentences(printing),
    printTable(build, pieces, printing),
    ...poseBlocks(build, pieces, printing, scale),
    {
      b: 'strip',
      caption:
        'Where the hours go: each print from its first layer (left) to its last, a bar a twentieth of the height. The minutes of heating up before the first layer count in the table, not here.',
      rows: prints.map((print) => ({ label: print.piece, seconds: print.secondsByHeight })),
    },
    ...prints.flatMap((print): Block[] => [
      { b: 'drawing', name: `piece-${print.piece}`, caption: laidCaption(print) },
      ...(print.supportG > 0 ? [scarsDrawing(print)] : []),
    ]),
    ...measuredBlocks(build, pieces, printing),
  );
  return blocks;
}

const LIES: Readonly<Record<Print['lies'], string>> = {
  'mating face': 'on its mating face',
  'hull face': 'tilted',
  level: 'level',
};

function laidCaption({ piece, lies, supportG }: Print): string {
  return `${piece} as it lies, ${LIES[lies]}${supportG > 0 ? '; strokes where support stands on it' : ''}.`;
}

function scarsDrawing({ piece }: Print): Block {
  return {
    b: 'drawing',
    name: `scars-${piece}`,
    caption: `${piece} from below, hatched where support holds it and leaves its marks.`,
  };
}

export const PRINTING_CAUTION: Block = {
  b: 'caution',
  title: 'Fumes and unwatched machines',
  text: 'Melting plastic gives off fine particles and vapours, some materials far more than others: print in an aired, separate room and follow the data sheet of the material. Do not leave a machine unwatched without a smoke alarm.',
};

function layerSentence(build: Build): Block {
  return say(
    'Layers are ',
    number(build, 'layerMm', 'Layer height', 'mm', 2, 0.02),
    ' high, the first ',
    number(build, 'firstLayerMm', 'First layer', 'mm', 2, 0.02),
    '; a line is ',
    number(build, 'lineMm', 'Line width', 'mm', 2, 0.05),
    ' wide.',
  );
}

function insideSentence(build: Build): Block {
  return say(
    'Each wall gets ',
    number(build, 'contourPasses', 'Contour passes', 'count', 0, 1),
    ' contour passes a side, tops and bottoms ',
    number(build, 'closingLayers', 'Closing layers', 'count', 0, 1),
    ' closing layers, and what is left inside ',
    number(build, 'infillPercent', 'Infill', 'percent', 0, 5),
    ' of infill. The material is ',
    materialChoice(build),
    '.',
  );
}

function supportSentence(build: Build): Block {
  return say(
    'Whatever leans out more than ',
    number(build, 'overhangLimitDeg', 'Overhang limit', 'deg', 0, 5),
    ' from vertical is held by support, filled to ',
    number(build, 'supportPercent', 'Support density', 'percent', 0, 1),
    '.',
  );
}

function speedSentence(build: Build, index: number): Block {
  const at = (key: string, label: string, unit: Unit, step: number): Span =>
    editable(build, `machines.${index}.${key}`, { label, unit, digits: 0, step });
  return say(
    build.machines.length === 1 ? 'The machine' : term(`Machine ${index + 1}`),
    ' runs outer passes at ',
    at('outerWallSpeedMmS', 'Outer pass speed', 'mm/s', 5),
    ', the others at ',
    at('wallSpeedMmS', 'Contour speed', 'mm/s', 5),
    ', infill at ',
    at('infillSpeedMmS', 'Infill speed', 'mm/s', 5),
    ', with ',
    at('accelerationMmS2', 'Acceleration', 'mm/s2', 100),
    ' of acceleration, and gives every layer at least ',
    at('shortestLayerS', 'Shortest layer', 's', 1),
    '.',
  );
}

function number(
  build: Build,
  key: keyof Build['print'],
  label: string,
  unit: Unit,
  digits: number,
  step: number,
): Span {
  return editable(build, `print.${key}`, { label, unit, digits, step });
}

function materialChoice(build: Build): Span {
  const known = [PLA, PETG, ABS, ASA];
  const options = known.some((material) => material.id === build.material.id)
    ? known.map((m) => (m.id === build.material.id ? build.material : m))
    : [build.material, ...known];
  return choice(build, 'material', {
    label: 'Material',
    options: options.map((material) => ({ value: material, label: material.name })),
  });
}

function printTable(build: Build, pieces: PiecesRecord, printing: PrintingRecord): Block {
  const { totals } = printing;
  const nameOf = (print: Print): string => pieces.pieces.find((piece) => piece.id === print.piece)?.name ?? '';
  const machineOf = (print: Print): string =>
    machineWords(
      build,
      build.machines.findIndex((machine) => machine.id === print.machine),
    );
  // how a piece lies has its table below
  const several = build.machines.length > 1;
  const onMachine = (words: string): Span[][] => (several ? [[text(words)]] : []);
  return {
    b: 'table',
    caption: 'Prints',
    columns: [
      { head: 'Piece', align: 'start' },
      ...(several ? [{ head: 'Machine', align: 'start' } as const] : []),
      { head: 'Size as laid', align: 'end' },
      { head: 'Time', align: 'end' },
      { head: 'Material', align: 'end' },
      { head: 'Support', align: 'end' },
    ],
    rows: printing.prints
      .map((print) => [
        [term(print.piece), text(` ${nameOf(print)}`)],
        ...onMachine(machineOf(print)),
        print.sizeMm.flatMap((side, index) => [...(index === 0 ? [] : [text(' × ')]), quantity(side, 'mm')]),
        hoursOf(print),
        [quantity(print.filamentG, 'g')],
        [quantity(print.supportG, 'g')],
      ])
      .concat(printing.splices === null ? [] : [splicesRow(build, printing.splices, onMachine)]),
    total: [
      [text('together')],
      ...(several ? [[]] : []),
      [],
      hoursOf(totals),
      [quantity(totals.filamentG, 'g')],
      [quantity(totals.supportG, 'g')],
    ],
  };
}

function hoursOf({ printS, plusMinusS }: { readonly printS: number; readonly plusMinusS: number }): Span[] {
  return [quantity(printS, 's'), text(' ± '), plusMinusHours(plusMinusS)];
}

function splicesRow(build: Build, splices: SplicesPrint, onMachine: (words: string) => Span[][]): Span[][] {
  const machine = build.machines.findIndex(({ id }) => id === splices.machine);
  return [
    [text(`${splices.count} splices`)],
    ...onMachine(machineWords(build, machine)),
    [],
    hoursOf(splices),
    [quantity(splices.filamentG, 'g', splices.filamentG < 10 ? 1 : 0)],
    [quantity(splices.supportG, 'g')],
  ];
}
