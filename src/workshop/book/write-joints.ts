// Writes the Joints chapter: what registers each seam, how true it sits, and what is cut for it.
import type { Joint, JointKind, JointsRecord } from '../process/joints-record.ts';
import type { Block, Span, Unit } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { listed } from './seam-words.ts';
import { countWord, quantity, say, term, text } from './spans.ts';

export function writeJoints(build: Build, joints: JointsRecord | null): readonly Block[] {
  const keyed = choice(build, 'joints.keys', {
    label: 'Whether pieces get keys',
    options: [
      { value: true, label: 'get keys on their inside' },
      { value: false, label: 'stay as they were cut' },
    ],
  });
  if (!build.joints.keys)
    return [say('The pieces ', keyed, ': they are aligned by eye, and held while the glue sets.')];
  const blocks: Block[] = [
    say('The pieces ', keyed, ', so that they find their place by themselves and cannot be glued crooked.'),
    tabSentence(build),
    roomSentence(build),
    ...build.machines.map((_machine, index) => clearanceSentence(build, index)),
  ];
  if (joints === null || joints.joints.length === 0) return blocks;
  blocks.push(...joints.joints.map(jointSentence), jointTable(joints), ...joints.joints.flatMap(drawingOf));
  return blocks;
}

function number(build: Build, key: string, label: string, unit: Unit, look: { digits: number; step: number }): Span {
  return editable(build, `joints.${key}`, { label, unit, ...look });
}

function tabSentence(build: Build): Block {
  return say(
    'A key comes about every ',
    number(build, 'spacingMm', 'Distance between keys', 'mm', { digits: 0, step: 5 }),
    ' of seam; tabs are ',
    number(build, 'tabWidthMm', 'Width of a tab', 'mm', { digits: 0, step: 1 }),
    ' wide and ',
    number(build, 'tabThickMm', 'Thickness of a tab', 'mm', { digits: 1, step: 0.1 }),
    ' thick and reach ',
    number(build, 'tabReachMm', 'Reach of a tab', 'mm', { digits: 0, step: 1 }),
    ' over the seam, pins measure ',
    number(build, 'pinMm', 'Diameter of pins', 'mm', { digits: 1, step: 0.5 }),
    ' across.',
  );
}

function roomSentence(build: Build): Block {
  return say(
    'Whatever is cut for a key leaves ',
    number(build, 'skinMm', 'Wall left outside', 'mm', { digits: 1, step: 0.1 }),
    ' of wall outside it. Where a mating face prints down, its outer edge is taken back by ',
    number(build, 'reliefMm', 'Relief of outer edges', 'mm', { digits: 1, step: 0.1 }),
    ' against a flared first layer. The letter of each piece, and an arrow that points up, are ',
    choice(build, 'joints.marks', {
      label: 'Whether pieces are marked',
      options: [
        { value: true, label: 'engraved inside' },
        { value: false, label: 'left out' },
      ],
    }),
    '.',
  );
}

function clearanceSentence(build: Build, index: number): Block {
  return say(
    build.machines.length === 1 ? 'The machine' : term(`Machine ${index + 1}`),
    ' prints faces that slide together with ',
    editable(build, `machines.${index}.clearanceMm`, {
      label: 'Clearance between faces',
      unit: 'mm',
      digits: 2,
      step: 0.05,
    }),
    ' between them',
    ...(index > 0
      ? ['.']
      : [
          ', and each printed face may lie off by ',
          number(build, 'toleranceMm', 'Print tolerance', 'mm', { digits: 2, step: 0.05 }),
          '.',
        ]),
  );
}

const KIND_WORDS: Readonly<Record<JointKind, readonly [string, string]>> = {
  tabs: ['tab', 'tabs inside, against the wall'],
  laps: ['lap', 'laps sunk into the wall'],
  strips: ['splice', 'loose splices in seats'],
  pins: ['pin', 'pins and sockets'],
  rods: ['rod', 'lengths of rod in holes of both'],
  magnets: ['pair of magnets', 'magnets in bosses inside'],
  screws: ['screw', 'screws in bosses inside'],
  none: ['key', 'no key'],
};

function jointSentence(joint: Joint): Block {
  const { seam, kind, keys, play, why } = joint;
  if (kind === 'none')
    return say(term(seam), ': no key; ', why ?? 'it is aligned by eye and held while the glue sets', '.');
  const carriers = [...new Set(keys.map(({ carrier }) => carrier))].sort();
  return say(
    term(seam),
    `: ${countWord(keys.length)} ${keys.length === 1 ? KIND_WORDS[kind][0] : KIND_WORDS[kind][1]}, on ${listed(carriers)}; the wall there is `,
    quantity(joint.wallMm, 'mm', 1),
    ...(play === null
      ? []
      : [
          '. At the outer edge it may sit off by ',
          quantity(play.nominalMm, 'mm', 2),
          ' as drawn, and by ',
          quantity(play.printedMm, 'mm', 2),
          ' with every face off the worse way',
        ]),
    '.',
    ...(why === null ? [] : [` ${why}`]),
  );
}

function jointTable({ joints }: JointsRecord): Block {
  return {
    b: 'table',
    caption: 'Joints; the misfit is the step at the outer edge that the clearances allow at most',
    columns: [
      { head: 'Seam', align: 'start' },
      { head: 'Keys', align: 'start' },
      { head: 'Wall', align: 'end' },
      { head: 'Skin left', align: 'end' },
      { head: 'Misfit', align: 'end' },
      { head: 'Printed', align: 'end' },
    ],
    rows: joints.map(({ seam, kind, keys, wallMm, skinMm, play }) => [
      [term(seam)],
      [text(kind === 'none' ? 'none' : `${keys.length} ${KIND_WORDS[kind][1].split(' ')[0]}`)],
      [quantity(wallMm, 'mm', 1)],
      skinMm === null ? [] : [quantity(skinMm, 'mm', 1)],
      play === null ? [] : [quantity(play.nominalMm, 'mm', 2)],
      play === null ? [] : [quantity(play.printedMm, 'mm', 2)],
    ]),
  };
}

function drawingOf({ seam, kind, keys }: Joint): readonly Block[] {
  if (kind === 'none' || keys.length === 0) return [];
  return [
    { b: 'drawing', name: `joint-${seam}`, caption: `${seam}: a key cut through its middle, at twice its size.` },
  ];
}
