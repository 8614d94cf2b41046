// Writes what it is filled, sanded and sprayed with: the maker's choices, each in its sentence.
import { GRITS } from '../facts/abrasives.ts';
import { BASE_WORDS, BASES } from '../facts/coats.ts';
import { softWallMm } from '../facts/materials.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { say } from './spans.ts';
import { add, remove } from './write-asked.ts';

export function finishChoices(build: Build, surface: SurfaceRecord | null): readonly Block[] {
  return [
    fillSentence(build, surface),
    sandSentence(build),
    toolSentence(build),
    paintSentence(build),
    daySentence(build, surface),
  ];
}

const FROM = [
  { value: 'can', label: 'cans' },
  { value: 'gun', label: 'a tin through a gun' },
];

function fillSentence(build: Build, surface: SurfaceRecord | null): Block {
  const { rings } = build.surface;
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
    choice(build, 'surface.primerFrom', { label: 'How primer is sprayed', options: FROM }),
    typeof surface?.primerWetUm === 'number'
      ? `: a coat lies ${surface.primerWetUm.toFixed(0)} µm thick wet, ${build.surface.numbers.primerDryUm} dry.`
      : '.',
  );
}

/** Each paper can be changed for another; a longer or shorter ladder grows and shrinks at its fine end. */
function sandSentence(build: Build): Block {
  const { ladder } = build.surface;
  const papers = GRITS.map(({ grade }) => ({ value: grade, label: `P${grade}` }));
  const rungs = ladder.flatMap((_grade, i): (string | Span)[] => [
    i === 0 ? '' : i === ladder.length - 1 ? ' and ' : ', ',
    choice(build, `surface.ladder.${i}`, { label: `Paper ${i + 1}`, options: papers }),
  ]);
  const finer = GRITS.find(({ grade }) => grade > ladder.at(-1)!);
  const more: Span[] =
    finer === undefined || ladder.length >= 9
      ? []
      : [add('surface.ladder', finer.grade, { label: 'Papers', says: `Add P${finer.grade}` })];
  const index = ladder.length - 1;
  const less =
    ladder.length < 2 ? [] : [remove('surface.ladder', ladder, { index, label: 'Papers', says: 'Leave the last out' })];
  return say(
    'Sanding first takes ',
    number(build, 'sandedMm', 'Taken off by sanding', 'mm', 2, 0.01),
    ' off the ridges. The papers are ',
    ...rungs,
    '; from ',
    choice(build, 'surface.primerGrade', { label: 'First paper on primer', options: papers }),
    ' on they sand primer, the coarser ones print and filler. ',
    ...more,
    ...(more.length > 0 && less.length > 0 ? [' '] : []),
    ...less,
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
    editable(build, 'surface.softMm', {
      label: 'Wall that a sander can soften',
      unit: 'mm',
      digits: 1,
      step: 0.1,
      missing: softWallMm(build.material.id),
    }),
    '.',
  );
}

function paintSentence(build: Build): Block {
  const { paint, clear, wash } = build.surface;
  const of = BASES.map((base) => ({ value: base, label: BASE_WORDS[base] }));
  const coats = (layer: 'paint' | 'clear', label: string): readonly (string | Span)[] => [
    ' in ',
    number(build, `${layer}.coats`, `Coats of ${label}`, 'count', 0, 1),
    ' coats from ',
    choice(build, `surface.${layer}.from`, { label: `How ${label} is sprayed`, options: FROM }),
  ];
  return say(
    'The primer is ',
    choice(build, 'surface.primerBase', { label: 'What the primer is made of', options: of }),
    '. Over it goes ',
    choice(build, 'surface.paint.base', {
      label: 'Colour',
      options: [
        { value: 'none', label: 'no colour' },
        ...of.map(({ value, label }) => ({ value, label: `one colour of ${label}` })),
      ],
    }),
    ...(paint.base === 'none' ? [] : coats('paint', 'colour')),
    ', then ',
    choice(build, 'surface.wash', {
      label: 'Wash',
      options: [
        { value: 'none', label: 'no wash' },
        { value: 'water', label: 'a wash in water' },
        { value: 'spirit', label: 'a wash in white spirit' },
      ],
    }),
    ' and ',
    choice(build, 'surface.clear.base', {
      label: 'Clear coat',
      options: [
        { value: 'none', label: 'no clear coat' },
        ...of.map(({ value, label }) => ({ value, label: `a clear coat of ${label}` })),
      ],
    }),
    ...(clear.base === 'none' ? [] : coats('clear', 'clear coat')),
    ...(clear.base === 'none' || wash === 'none'
      ? []
      : [
          ', ',
          choice(build, 'surface.clear.when', {
            label: 'When the clear coat goes on',
            options: [
              { value: 'before', label: 'before the wash' },
              { value: 'after', label: 'after the wash' },
              { value: 'both', label: 'before and after the wash' },
            ],
          }),
        ]),
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
