// Writes the Model chapter.
import type { Confidence, ModelRecord } from '../process/model-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable, followsOf } from './editable.ts';
import { countWord, offer, quantity, say, term } from './spans.ts';

const SURENESS: Readonly<Record<Confidence, string>> = {
  given: 'as you set it',
  sure: 'with nothing speaking against it',
  likely: 'which is likely but worth a look',
  unsure: 'which is only a guess: please look and correct it',
};

export function writeModel(build: Build, model: ModelRecord, unit: string): readonly Block[] {
  const [w, d, h] = model.sizeMm;
  return [
    say(
      'The file ',
      term(build.model.file),
      ', read in ',
      unitChoice(build, unit),
      ', bounds ',
      model.bodies === 1 ? 'one closed solid' : `${countWord(model.bodies)} closed solids`,
      ' under ',
      quantity(model.triangles, 'count'),
      ' triangles: ',
      quantity(model.volumeMm3, 'mm3', 1),
      ' of material behind ',
      quantity(model.areaMm2, 'mm2'),
      ' of surface, ',
      quantity((model.volumeMm3 / 1000) * build.material.densityGCm3, 'g'),
      ` if it were all ${build.material.name}`,
      ...throughs(model.genus),
      '. It stands ',
      quantity(w, 'mm', 1),
      ' wide, ',
      quantity(d, 'mm', 1),
      ' deep and ',
      quantity(h, 'mm', 1),
      ' high.',
    ),
    ...mendingSentences(model),
    ...mendChoices(build, hasSheet(build, model)),
    say(
      'Up is ',
      upChoice(build, model),
      `, ${foundWords(model.up)}; front is `,
      frontChoice(build, model),
      `, ${foundWords(model.front)}.`,
    ),
    offer(
      'Should it lean, tip it forward by ',
      turn(build, 0, 'Turn about the left-right axis'),
      ', to its left by ',
      turn(build, 1, 'Turn about the front-back axis'),
      ', and turn it on its foot by ',
      turn(build, 2, 'Turn about the upright axis'),
      '.',
    ),
    offer('Should it still lean, level it by hand: ', levelPoints(build), '.'),
    ...(model.mended.steps.length === 0 ? [] : [AS_READ]),
    { b: 'drawing', name: 'whole', caption: 'The shell, levelled, seen from its front left.' },
    symmetrySentence(model),
    say(
      'Its wall is ',
      quantity(model.wallMm.p50, 'mm', 2),
      ' at the middle of all its surface; the thinnest hundredth of the surface has ',
      quantity(model.wallMm.p1, 'mm', 2),
      ' or less behind it, the thickest twentieth more than ',
      quantity(model.wallMm.p95, 'mm', 2),
      '. Thickness is that of the largest ball that fits into the wall.',
    ),
    openingsSentence(model),
  ];
}

/** What the maker can decide while the chapter is refused: the unit, and what becomes of the surface. */
export function writeRefusedModel(build: Build, unit: string): readonly Block[] {
  return [
    say('The file ', term(build.model.file), ' is read in ', unitChoice(build, unit), '.'),
    ...mendChoices(build, 'sheet'),
    ...levelChoices(build),
    AS_READ,
  ];
}

/** How it was told to stand, where it was: two wishes can contradict each other. */
function levelChoices(build: Build): readonly Block[] {
  const { up, front, levelPoints: points } = build.model.level;
  const way = (path: string, label: string, chosen: readonly [number, number, number]): Span =>
    choice(build, path, {
      label,
      options: [
        { value: null, label: 'where it is found' },
        { value: chosen, label: `along ${wayWords(chosen)} of the file` },
      ],
    });
  return [
    ...(up ? [offer('Up is ', way('model.level.up', 'Which way of the file is up', up), '.')] : []),
    ...(front ? [offer('Front is ', way('model.level.front', 'Which way of the file is front', front), '.')] : []),
    ...(points ? [offer('It is levelled by hand: ', levelPoints(build), '.')] : []),
  ];
}

const AS_READ: Block = { b: 'drawing', name: 'as-read', caption: 'As it came; red is where its surface ends.' };

function levelPoints(build: Build): Span {
  const path = 'model.level.levelPoints';
  return {
    s: 'points',
    path,
    label: 'Places that lie level',
    count: 3,
    value: build.model.level.levelPoints ?? null,
    what: 'places that lie level',
    such: 'on the rim of the neck, for example',
    follows: followsOf(path),
  };
}

function unitChoice(build: Build, unit: string): Span {
  return choice(build, 'model.unit', {
    label: 'Unit of the file',
    options: [
      { value: null, label: build.model.unit === null ? unit : 'what the file states, else the likeliest' },
      ...[
        { value: 'mm', label: 'millimetres' },
        { value: 'cm', label: 'centimetres' },
        { value: 'm', label: 'metres' },
        { value: 'in', label: 'inches' },
      ].map(({ value, label }) => ({
        value,
        // A guess is confirmed by naming it.
        label: build.model.unit === null && label === unit ? `${label}, that is right` : label,
      })),
    ],
  });
}

function throughs(genus: number): readonly (string | Span)[] {
  if (!(genus > 0)) return [];
  return genus === 1 ? ['; it is pierced in one place'] : ['; it is pierced in ', quantity(genus, 'count'), ' places'];
}

function mendingSentences({ mended }: ModelRecord): readonly Block[] {
  const ways = mended.steps.length;
  if (ways === 0) return [say('Its surface was sound as it came, and nothing was changed.')];
  const first = `Before anything else its surface was mended, in ${ways === 1 ? 'one way' : `${countWord(ways)} ways`}, each told with its place.`;
  if (mended.deviation === null) return [say(first)];
  return [
    say(
      first,
      ' The result lies within ',
      quantity(mended.deviation.p99Mm, 'mm', 3),
      ' of the surface that was read over ninety-nine hundredths of it, and nowhere farther away than ',
      quantity(mended.deviation.maxMm, 'mm', 3),
      ...(mended.cellMm === null ? [] : ['; it was made with cells of ', quantity(mended.cellMm, 'mm', 2)]),
      '.',
    ),
  ];
}

/** A sheet was read, or the maker has said what is to become of one. */
function hasSheet(build: Build, { mended }: ModelRecord): 'sheet' | 'no sheet' {
  const walled = mended.steps.some((step) => step.kind === 'sheets-thickened');
  return walled || build.model.mend.openings !== 'ask' ? 'sheet' : 'no sheet';
}

function mendChoices(build: Build, sheet: 'sheet' | 'no sheet'): readonly Block[] {
  const { mend } = build.model;
  const openings = choice(build, 'model.mend.openings', {
    label: 'What becomes of the large openings of a sheet',
    options: [
      { value: 'ask', label: 'be asked about' },
      { value: 'wall', label: 'stay, and the sheet be given a wall' },
      { value: 'close', label: 'be closed with lids' },
    ],
  });
  const wall = editable(build, 'model.mend.sheetWallMm', {
    label: 'Wall of a sheet',
    unit: 'mm',
    digits: 1,
    step: 0.2,
  });
  const rebuild = choice(build, 'model.mend.rebuild', {
    label: 'How the surface is mended',
    options: [
      { value: false, label: 'mended exactly, as far as that goes' },
      { value: true, label: 'rebuilt from what lies inside and outside' },
    ],
  });
  const cells = editable(build, 'model.mend.rebuildCells', {
    label: 'Cells along the longest side',
    unit: 'count',
    digits: 0,
    step: 20,
  });
  return [
    ...(sheet === 'no sheet'
      ? []
      : [
          offer(
            'Large openings of a sheet are to ',
            openings,
            ...(mend.openings === 'wall' ? [' of ', wall, ', inward from the surface that is there'] : []),
            '.',
          ),
        ]),
    offer(
      'The surface is ',
      rebuild,
      ...(mend.rebuild ? [', with ', cells, ' cells along its longest side'] : []),
      '.',
    ),
  ];
}

/** "found opposite the neck opening, which is likely but worth a look", or what the maker set. */
function foundWords({ confidence, because }: ModelRecord['front']): string {
  return confidence === 'given' ? because : `found ${because}, ${SURENESS[confidence]}`;
}

function upChoice(build: Build, { up }: ModelRecord): Span {
  const { up: chosen } = build.model.level;
  const others = chosen && !up.others.some((way) => sameWay(way, chosen)) ? [chosen, ...up.others] : up.others;
  return choice(build, 'model.level.up', {
    label: 'Which way of the file is up',
    options: [
      { value: null, label: chosen ? 'where it was found' : `along ${wayWords(up.way)} of the file` },
      ...others.map((way) => ({ value: way, label: `along ${wayWords(way)} of the file` })),
    ],
  });
}

/** The axes of the file that lie well across up. */
function frontChoice(build: Build, { up, front }: ModelRecord): Span {
  const { front: chosen } = build.model.level;
  const axes = AXES.filter((way) => Math.abs(way[0] * up.way[0] + way[1] * up.way[1] + way[2] * up.way[2]) < 0.7);
  const others = chosen && !axes.some((way) => sameWay(way, chosen)) ? [chosen, ...axes] : axes;
  return choice(build, 'model.level.front', {
    label: 'Which way of the file is front',
    options: [
      { value: null, label: chosen ? 'where it was found' : `along ${wayWords(front.way)} of the file` },
      ...others
        .filter((way) => chosen || !sameWay(way, front.way))
        .map((way) => ({ value: way, label: `along ${wayWords(way)} of the file` })),
    ],
  });
}

const AXES: readonly (readonly [number, number, number])[] = [
  [0, -1, 0],
  [0, 1, 0],
  [1, 0, 0],
  [-1, 0, 0],
  [0, 0, 1],
  [0, 0, -1],
];

function sameWay(a: readonly number[], b: readonly number[]): boolean {
  return a.every((v, i) => v === b[i]);
}

/** "+z" for an axis, else its three numbers. */
function wayWords(way: readonly [number, number, number]): string {
  const axis = way.findIndex((v) => Math.abs(v) > 0.9999);
  if (axis >= 0) return `${way[axis]! < 0 ? '−' : '+'}${'xyz'[axis]}`;
  return `(${way.map((v) => v.toFixed(2).replace('-', '−')).join(', ')})`;
}

function turn(build: Build, axis: 0 | 1 | 2, label: string): ReturnType<typeof editable> {
  return editable(build, `model.level.turnDeg.${axis}`, { label, unit: 'deg', digits: 1, step: 0.5, missing: 0 });
}

function symmetrySentence(model: ModelRecord): Block {
  if (model.symmetry === null)
    return say('No plane was found that mirrors its left to its right; it stands by its middle.');
  return say(
    'Its left mirrors its right: a mirrored copy lies within ',
    quantity(model.symmetry.p95Mm, 'mm', 2),
    ' over nineteen twentieths of the surface, ',
    SURENESS[model.symmetry.confidence],
    '.',
  );
}

function openingsSentence(model: ModelRecord): Block {
  const neck = model.openings.find((opening) => opening.name === 'neck');
  const front = model.openings.find((opening) => opening.name === 'front');
  if (neck === undefined)
    return say('No hollow with a way in for a head was found, so no neck or face opening is known.');
  const others = model.openings.filter((opening) => opening.name === 'other').length;
  return say(
    'The neck opening is ',
    quantity(neck.rimMm, 'mm', 0),
    ' round and takes ',
    quantity(neck.share * 100, 'percent', 1),
    ' of all directions, seen from inside the hollow',
    ...(front === undefined
      ? []
      : [
          '; the front opening is ',
          quantity(front.rimMm, 'mm', 0),
          ' round and takes ',
          quantity(front.share * 100, 'percent', 1),
        ]),
    others > 0
      ? `; there ${others === 1 ? 'is' : 'are'} ${countWord(others)} smaller one${others === 1 ? '' : 's'}.`
      : '.',
  );
}
