// Writes the Surface chapter: how much work it is and where, where layers and seams will show, what to buy and what to do.
import { listed } from '../../base/listed.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { PieceSurface, SurfaceClass, SurfaceRecord } from '../process/surface-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice } from './editable.ts';
import { countWord, quantity, say, term, text, wholeMinutes } from './spans.ts';
import { besidesSentence, coatSentences, mixSentence, shoppingTable, stepTable } from './write-bench-list.ts';
import { finishChoices } from './write-finish.ts';
import { finishNumbersTable } from './write-finish-numbers.ts';
import { REACH_MODEL, writeReach } from './write-reach.ts';
import { writeStarts } from './write-starts.ts';

export function writeSurface(
  build: Build,
  pieces: PiecesRecord | null,
  surface: SurfaceRecord | null,
): readonly Block[] {
  if (pieces === null || surface === null) return [targetSentence(build, null), ...finishChoices(build, null)];
  const hasTracks = surface.pieces.some(({ starts }) => starts.lines.length > 0);
  return [
    targetSentence(build, surface),
    ...ringSentences(pieces, surface),
    {
      b: 'drawing',
      name: 'rings',
      caption: 'Where rings of layers will show: the lines run as the layers do, one millimetre of height apart.',
    },
    classTable(pieces, surface),
    ...flareSentence(surface),
    seamSentence(surface),
    {
      b: 'drawing',
      name: 'filling',
      caption: `Where filler goes: ${surface.seams.length > 0 ? 'along the seams, drawn the heavier the more they are looked at, and ' : ''}where support leaves its marks, hatched${hasTracks ? '; in dashes, where layers start' : ''}.`,
    },
    ...writeReach(pieces, surface),
    shoppingTable(surface),
    ...besidesSentence(surface),
    stepTable(surface),
    ...writeStarts(build, pieces, surface),
    ...finishChoices(build, surface),
    ...mixSentence(build, surface),
    ...coatSentences(build, surface),
    FORMULA,
    REACH_MODEL,
    finishNumbersTable(build),
  ];
}

const FORMULA = say(
  'How rounds are reckoned: the height that 95 percent of a place do not exceed, of ridge and step together, less what sanding takes down, less what may stay, over what a round fills, rounded up. The ridge of a layer stands out by the layer height times the cosine of the slope from level.',
);

/** With the whole of the work, once it is known. */
export function targetSentence(build: Build, surface: SurfaceRecord | null): Block {
  const target = choice(build, 'surface.target', {
    label: 'Finish',
    options: [
      { value: 'stage', label: 'a stage, seen from five metres' },
      { value: 'hand', label: 'being held in the hand' },
      { value: 'camera', label: 'a camera close by' },
    ],
  });
  if (surface === null) return say('It is finished for ', target, '.');
  const { rounds, totals, days, coats } = surface;
  const over = (['paint', 'clear'] as const).filter((kind) => coats.some((layer) => layer.kind === kind));
  const withWords = over.map((kind) => (kind === 'paint' ? 'colour' : 'clear coat'));
  return say(
    'It is finished for ',
    target,
    `: that takes ${roundsWords(rounds)} of filling, priming and sanding over `,
    quantity(totals.areaMm2, 'mm2'),
    ' of outside, and ',
    quantity(wholeMinutes(totals.handsOnS), 's'),
    ` of work${over.length === 0 ? '' : ` with ${listed(withWords)}`}. Begun on day 1 it is hard on `,
    term(`day ${days.end}`),
    ' at the earliest, with nights off.',
  );
}

/** Where most of the hands go, and where the widest rings will be. */
function ringSentences({ pieces }: PiecesRecord, surface: SurfaceRecord): readonly Block[] {
  const nameOf = (id: string): string => pieces.find((piece) => piece.id === id)?.name ?? '';
  const widest = surface.pieces.filter(({ ringMm }) => ringMm > 0).sort((a, b) => b.ringMm - a.ringMm)[0];
  const most = mostHands(pieces, surface);
  if (widest === undefined)
    return [...most, say('Nothing on the outside lies so level that single layers show as rings.')];
  return [
    ...most,
    say(
      ...(surface.pieces.length === 1
        ? ['It will show rings up to ']
        : [term(widest.piece), ` ${nameOf(widest.piece)} will show the widest rings, up to `]),
      quantity(widest.ringMm, 'mm', 1),
      ` wide: ${roundsWords(roundsOf(widest, 'rings'))} there, ${roundsWords(roundsOf(widest, 'walls'))} on ${surface.pieces.length === 1 ? 'the' : 'its'} walls.`,
    ),
  ];
}

function mostHands(pieces: PiecesRecord['pieces'], { pieces: outsides, piecesS }: SurfaceRecord): readonly Block[] {
  if (outsides.length < 2) return [];
  const at = piecesS.indexOf(Math.max(...piecesS));
  const { piece } = outsides[at]!;
  const share = piecesS[at]! / piecesS.reduce((sum, s) => sum + s, 0);
  if (share * piecesS.length < MORE_THAN_OTHERS) return [say('The work is spread evenly over the pieces.')];
  return [
    say(
      'Most of the work goes to ',
      term(piece),
      ` ${pieces.find(({ id }) => id === piece)?.name ?? ''}, `,
      quantity(100 * share, 'percent'),
      ' of what the pieces take.',
    ),
  ];
}

/** Times an even share. */
const MORE_THAN_OTHERS = 1.25;

function roundsOf({ classes }: PieceSurface, of: SurfaceClass): number {
  return classes.find((one) => one.of === of)?.rounds ?? 0;
}

function roundsWords(rounds: number): string {
  return `${countWord(rounds)} ${rounds === 1 ? 'round' : 'rounds'}`;
}

function classTable({ pieces }: PiecesRecord, surface: SurfaceRecord): Block {
  const cell = (piece: PieceSurface, of: SurfaceClass): Span[] => {
    const found = piece.classes.find((one) => one.of === of);
    if (found === undefined) return [text('none')];
    return [quantity(found.areaMm2, 'mm2'), text(` (${found.rounds})`)];
  };
  return {
    b: 'table',
    caption:
      'The outside by what shows on it, in brackets the rounds that takes. Rings: it leans less than 45 degrees from level; walls: more; support: where that held it. Work without setting up and seams',
    columns: [
      { head: 'Piece', align: 'start' },
      { head: 'Rings up to', align: 'end' },
      { head: 'Rings', align: 'end' },
      { head: 'Walls', align: 'end' },
      { head: 'Support', align: 'end' },
      { head: 'Work', align: 'end' },
    ],
    rows: surface.pieces.map((piece, index) => [
      [term(piece.piece), text(` ${pieces.find(({ id }) => id === piece.piece)?.name ?? ''}`)],
      [quantity(piece.ringMm, 'mm', 1)],
      cell(piece, 'rings'),
      cell(piece, 'walls'),
      cell(piece, 'scars'),
      [quantity(wholeMinutes(surface.piecesS[index]!), 's')],
    ]),
  };
}

function flareSentence({ pieces, steps }: SurfaceRecord): readonly Block[] {
  const flareMm = pieces.reduce((sum, one) => sum + one.flareMm, 0);
  if (!steps.some(({ id }) => id === 'scrape-flare')) return [];
  return [
    say(
      'The first layer flares along ',
      quantity(flareMm, 'mm'),
      ' of edges that are seen: scrape them with a blade before anything is filled.',
    ),
  ];
}

export function seamSentence({ seams, fillingMl, rounds, otherFiller }: SurfaceRecord): Block {
  const digits = fillingMl.laid < 2 ? 1 : 0;
  const amounts = `${fillingMl.laid.toFixed(digits)} ml are laid, and ${fillingMl.left.toFixed(digits)} stay: the rest is sanded off.`;
  if (seams.length === 0)
    return say(`No seam is seen.${fillingMl.laid === 0 ? '' : ` On marks of support ${amounts}`}`);
  const worst = seams.reduce((most, seam) => (seam.stepMm > most.stepMm ? seam : most), seams[0]!);
  const more =
    worst.worstMm - worst.stepMm < 0.005
      ? []
      : [', or ', quantity(worst.worstMm, 'mm', 2), ' where all keys are printed off the worse way'];
  return say(
    'The highest step of a seam is to be expected at ',
    term(worst.seam),
    ': ',
    quantity(worst.stepMm, 'mm', 2),
    ...more,
    `; ${roundsWords(worst.rounds)}. `,
    fillingMl.laid === 0
      ? 'Neither seams nor marks of support need filling.'
      : `On seams and marks of support ${amounts}`,
    ...(otherFiller.rounds >= rounds
      ? []
      : [
          ` With ${otherFiller.seams === 'filler' ? 'two-part filler' : 'one-part glazing putty'} it would be ${roundsWords(otherFiller.rounds)}, `,
          quantity(wholeMinutes(otherFiller.handsOnS), 's'),
          ` of work, and hard on day ${otherFiller.endDay}.`,
        ]),
  );
}

/** Cautions of what is used, each once. */
export function surfaceCautions(surface: SurfaceRecord | null): readonly Block[] {
  if (surface === null) return [];
  const titles: Readonly<Record<string, string>> = {
    prime: 'Spray',
    spray: 'Spray',
    scrape: 'Blade',
    wash: 'Wash',
    sand: 'Dust',
    fill: 'Fillers',
  };
  const cautions = new Map<string, string>();
  for (const { id, caution } of surface.steps)
    if (caution !== null) cautions.set(caution, titles[id.split('-')[0]!] ?? 'Care');
  return [...cautions].map(([words, title]): Block => ({ b: 'caution', title, text: words }));
}
