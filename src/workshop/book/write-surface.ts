// Writes the Surface chapter: where layers and seams will show, how many rounds that takes, what to buy and what to do.
import { listed } from '../../base/listed.ts';
import { BETWEEN_COATS_S, GUN_PRIMER, RECOAT, TWO_PART } from '../facts/finishing.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { PieceSurface, SurfaceClass, SurfaceRecord } from '../process/surface-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable, valueAt } from './editable.ts';
import { countWord, quantity, say, term, text } from './spans.ts';
import { writeReach } from './write-reach.ts';
import { writeStarts } from './write-starts.ts';

export function writeSurface(
  build: Build,
  pieces: PiecesRecord | null,
  surface: SurfaceRecord | null,
): readonly Block[] {
  const blocks = [
    targetSentence(build),
    fillSentence(build, surface),
    sandSentence(build),
    toolSentence(build),
    daySentence(build, surface),
  ];
  if (pieces === null || surface === null) return blocks;
  return [
    ...blocks,
    ...ringSentences(pieces, surface),
    {
      b: 'drawing',
      name: 'rings',
      caption: 'Where rings of layers will show: the lines run as the layers do, two millimetres of height apart.',
    },
    classTable(pieces, surface),
    ...writeStarts(build, pieces, surface),
    ...flareSentence(surface),
    ...writeReach(pieces, surface),
    seamSentence(surface),
    {
      b: 'drawing',
      name: 'filling',
      caption: `Where filler goes: along the seams, drawn the heavier the more they are looked at, and where support leaves its marks, hatched${surface.pieces.some(({ starts }) => starts.lines.length > 0) ? '; in dashes, where layers start' : ''}.`,
    },
    ...mixSentence(build, surface),
    coatSentence(),
    workSentence(surface),
    shoppingTable(surface),
    stepTable(surface),
    FORMULA,
    SOURCES,
  ];
}

const FORMULA = say(
  'How rounds are reckoned: the height that 95 percent of a place do not exceed, of ridge and step together, less what sanding takes down, less what may stay, over what a round fills, rounded up. The ridge of a layer stands out by the layer height times the cosine of the slope from level.',
);
const SOURCES = say(
  'Where these numbers come from: ridge and tread, published geometry of layers; how far primer goes, a web guide to high-build primer; the dew point, the formula of the World Meteorological Organization. What a round fills, what may stay, the sizes of tools, the wall that softens and the time of hands are common practice without a source: correct them by your own.',
);

function targetSentence(build: Build): Block {
  return say(
    'It is finished for ',
    choice(build, 'surface.target', {
      label: 'Finish',
      options: [
        { value: 'stage', label: 'a stage, seen from five metres' },
        { value: 'hand', label: 'the hand' },
        { value: 'camera', label: 'a camera close by' },
      ],
    }),
    '.',
  );
}

function fillSentence(build: Build, surface: SurfaceRecord | null): Block {
  const rings = valueAt(build, 'surface.rings');
  return say(
    'Layer lines are filled with ',
    choice(build, 'surface.rings', {
      label: 'Filler of layer lines',
      options: [
        { value: 'primer', label: 'filler primer' },
        { value: 'resin', label: 'brush-on resin, then primer' },
        { value: 'putty', label: 'glazing putty, then primer' },
      ],
    }),
    ', seams and marks of support with ',
    choice(build, 'surface.seams', {
      label: 'Filler of seams',
      options: [
        { value: 'putty', label: 'one-part glazing putty' },
        { value: 'filler', label: 'two-part filler' },
      ],
    }),
    '. A round of primer is ',
    number(build, 'primerCoats', 'Coats of primer', 'count', 0, 1),
    rings === 'primer' ? ' coats, sprayed from ' : ' coats over it, sprayed from ',
    choice(build, 'surface.primerFrom', {
      label: 'How primer is sprayed',
      options: [
        { value: 'can', label: 'cans' },
        { value: 'gun', label: 'a tin through a gun' },
      ],
    }),
    typeof surface?.primerWetUm === 'number'
      ? `: a coat lies ${surface.primerWetUm.toFixed(0)} µm thick wet, ${GUN_PRIMER.dryUm} dry.`
      : '.',
  );
}

function sandSentence(build: Build): Block {
  const ladder = valueAt(build, 'surface.ladder') as readonly number[];
  return say(
    'Sanding first takes ',
    number(build, 'sandedMm', 'Taken off by sanding', 'mm', 2, 0.01),
    ` off the ridges; then the papers are ${listed(ladder.map((grade) => `P${grade}`))}.`,
  );
}

function toolSentence(build: Build): Block {
  const radius = (key: string, label: string): Span => number(build, key, label, 'mm', 0, 1);
  return say(
    'It is sanded with what lies flat on it: a sander with a plate of ',
    radius('sanderMm', 'Radius of the plate of the sander'),
    ' radius, a block of ',
    radius('blockMm', 'Radius of the block'),
    ', a finger of ',
    radius('fingerMm', 'Radius of a finger'),
    ', a swab of ',
    radius('swabMm', 'Radius of a swab'),
    '; their soft faces give by ',
    number(build, 'giveMm', 'Give of their faces', 'mm', 1, 0.1),
    `. The sander's warmth can soften ${build.material.name} that is thinner than `,
    number(build, 'softMm', 'Wall that a sander can soften', 'mm', 1, 0.1),
    '.',
  );
}

function daySentence(build: Build, surface: SurfaceRecord | null): Block {
  return say(
    'It is sprayed at ',
    number(build, 'airC', 'Air, degrees Celsius', 'count', 0, 1),
    ' °C and ',
    number(build, 'humidityPercent', 'Humidity', 'percent', 0, 5),
    ' of humidity',
    ...(surface === null ? ['.'] : [`, with the dew point at ${surface.dewPointC.toFixed(1)} °C.`]),
  );
}

/** The pieces that take most, then the rest in one sentence. */
function ringSentences({ pieces }: PiecesRecord, surface: SurfaceRecord): readonly Block[] {
  const nameOf = (id: string): string => pieces.find((piece) => piece.id === id)?.name ?? '';
  const widest = surface.pieces.filter(({ ringMm }) => ringMm > 0).sort((a, b) => b.ringMm - a.ringMm)[0];
  if (widest === undefined) return [say('Nothing on the outside lies so level that single layers show as rings.')];
  return [
    say(
      term(widest.piece),
      ` ${nameOf(widest.piece)}`,
      ' will show the widest rings, up to ',
      quantity(widest.ringMm, 'mm', 1),
      ` wide: ${roundsWords(roundsOf(widest, 'rings'))} there, ${roundsWords(roundsOf(widest, 'walls'))} on its walls.`,
    ),
  ];
}

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
    caption: 'The outside by what shows on it; in brackets the rounds that takes',
    columns: [
      { head: 'Piece', align: 'start' },
      { head: 'Rings up to', align: 'end' },
      { head: 'Rings', align: 'end' },
      { head: 'Walls', align: 'end' },
      { head: 'Support', align: 'end' },
    ],
    rows: surface.pieces.map((piece) => [
      [term(piece.piece), text(` ${pieces.find(({ id }) => id === piece.piece)?.name ?? ''}`)],
      [quantity(piece.ringMm, 'mm', 1)],
      cell(piece, 'rings'),
      cell(piece, 'walls'),
      cell(piece, 'scars'),
    ]),
  };
}

function flareSentence({ pieces }: SurfaceRecord): readonly Block[] {
  const flareMm = pieces.reduce((sum, one) => sum + one.flareMm, 0);
  if (flareMm < 1) return [];
  return [
    say(
      'The first layer flares along ',
      quantity(flareMm, 'mm'),
      ' of edges that are seen: scrape them with a blade before anything is filled.',
    ),
  ];
}

function seamSentence({ seams, fillingMl }: SurfaceRecord): Block {
  const amounts = `${fillingMl.laid.toFixed(0)} ml are laid, and ${fillingMl.left.toFixed(0)} stay: the rest is sanded off.`;
  if (seams.length === 0)
    return say(`No seam is seen.${fillingMl.laid === 0 ? '' : ` On marks of support ${amounts}`}`);
  const worst = seams.reduce((most, seam) => (seam.stepMm > most.stepMm ? seam : most), seams[0]!);
  return say(
    `The highest step of a seam is to be expected at `,
    term(worst.seam),
    ': ',
    quantity(worst.stepMm, 'mm', 2),
    `, ${roundsWords(worst.rounds)}. `,
    fillingMl.laid === 0
      ? 'Neither seams nor marks of support need filling.'
      : `On seams and marks of support ${amounts}`,
  );
}

/** Two-part filler is mixed by weight, and only what is used within its time. */
function mixSentence(build: Build, { fillingMl }: SurfaceRecord): readonly Block[] {
  if (valueAt(build, 'surface.seams') !== 'filler' || fillingMl.laid === 0) return [];
  const { hardenerPercent, potS, leastC, densityGMl } = TWO_PART;
  const grams = fillingMl.laid * densityGMl;
  return [
    say(
      'Two-part filler is mixed by weight, ',
      quantity(hardenerPercent, 'percent'),
      ' of hardener: ',
      quantity((grams * hardenerPercent) / 100, 'g', 1),
      ' to all of the ',
      quantity(grams, 'g'),
      '. It sets in the pot within ',
      quantity(potS, 's'),
      `, so mix a few grams at a time, not below ${leastC} °C.`,
    ),
  ];
}

function coatSentence(): Block {
  return say(
    'Between coats wait ',
    quantity(BETWEEN_COATS_S, 's'),
    '. A further coat of solvent spray goes on within ',
    quantity(RECOAT.soonS, 's'),
    ' of the first or after ',
    quantity(RECOAT.afterS, 's'),
    ', not between: it wrinkles a skin that is still soft below. Paint of another base over the primer can lift it: try both on a scrap. The can says its own times.',
  );
}

function workSentence({ rounds, totals }: SurfaceRecord): Block {
  return say(
    `In all it takes ${roundsWords(rounds)} over `,
    quantity(totals.areaMm2, 'mm2'),
    ' of outside, ',
    quantity(totals.handsOnS, 's'),
    ' of hands, and ',
    quantity(totals.unattendedS, 's'),
    ' of drying.',
  );
}

function shoppingTable({ shopping }: SurfaceRecord): Block {
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

function stepTable({ steps }: SurfaceRecord): Block {
  return {
    b: 'table',
    caption: 'At the bench, in this order',
    columns: [
      { head: 'Step', align: 'start' },
      { head: 'Hands', align: 'end' },
      { head: 'Then it dries', align: 'end' },
    ],
    rows: steps.map(({ name, handsOnS, unattendedS }) => [
      [text(name)],
      [quantity(handsOnS, 's')],
      unattendedS === 0 ? [] : [quantity(unattendedS, 's')],
    ]),
  };
}

/** Cautions of what is used, each once. */
export function surfaceCautions(surface: SurfaceRecord | null): readonly Block[] {
  if (surface === null) return [];
  const titles: Readonly<Record<string, string>> = {
    prime: 'Spray',
    sand: 'Dust',
    fill: 'Fillers',
  };
  const cautions = new Map<string, string>();
  for (const { id, caution } of surface.steps)
    if (caution !== null) cautions.set(caution, titles[id.split('-')[0]!] ?? 'Care');
  return [...cautions].map(([words, title]): Block => ({ b: 'caution', title, text: words }));
}

function number(
  build: Build,
  key: string,
  label: string,
  unit: 'mm' | 'count' | 'percent',
  digits: number,
  step: number,
): Span {
  return editable(build, `surface.${key}`, { label, unit, digits, step });
}
