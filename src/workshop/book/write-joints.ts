// Writes the Joints chapter: what registers each seam, how true it sits, and what is cut for it.
import { listed } from '../../base/listed.ts';
import type { Joint, JointKind, JointsRecord, Key, LoosePart } from '../process/joints-record.ts';
import type { Block, Span, Unit } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
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
  blocks.push(
    ...kindSentences(joints),
    ...playSentence(joints),
    jointTable(joints),
    ...looseTable(joints),
    ...joints.joints.flatMap(drawingOf),
  );
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

interface KindWords {
  readonly one: string;
  readonly many: string;
  /** What they are, once for all seams that have them. */
  readonly are: string;
}

const KIND_WORDS: Readonly<Record<JointKind, KindWords>> = {
  tabs: { one: 'tab', many: 'tabs', are: 'tabs on the inside, against the wall of the other piece' },
  laps: { one: 'lap', many: 'laps', are: 'laps, sunk into the wall of the other piece' },
  strips: { one: 'splice', many: 'splices', are: 'loose splices, glued into seats of both pieces' },
  pins: { one: 'pin', many: 'pins', are: 'pins in sockets' },
  rods: { one: 'rod', many: 'rods', are: 'lengths of rod in holes of both pieces' },
  magnets: { one: 'pair of magnets', many: 'pairs of magnets', are: 'pairs of magnets' },
  screws: { one: 'screw', many: 'screws', are: 'screws in bosses on the inside' },
  none: { one: 'key', many: 'keys', are: 'no keys: they are aligned by eye, and held while the glue sets' },
};

/** Seams of one kind in one sentence; what is particular about one follows it. */
function kindSentences({ joints }: JointsRecord): readonly Block[] {
  const kinds = [...new Set(joints.map(({ kind }) => kind))];
  const byKind = kinds.map((kind) => joints.filter((joint) => joint.kind === kind));
  const whys = joints.flatMap(({ seam, why }): (string | Span)[] =>
    why === null ? [] : [' ', term(seam), `: ${sentence(why)}`],
  );
  return [
    ...byKind.map((alike) => {
      const { are } = KIND_WORDS[alike[0]!.kind];
      if (alike.length === joints.length && alike.length > 1)
        return say(`All ${countWord(alike.length)} seams have ${are}.`);
      return say(term(listed(alike.map(({ seam }) => seam))), alike.length === 1 ? ' has ' : ' have ', `${are}.`);
    }),
    ...(whys.length === 0 ? [] : [say(...whys.slice(1))]),
  ];
}

/** The largest misfit of all seams, with where; the others stand in the table. */
function playSentence({ joints }: JointsRecord): readonly Block[] {
  const played = joints.flatMap(({ seam, play }) => (play === null ? [] : [{ seam, ...play }]));
  if (played.length === 0) return [];
  const worst = played.reduce((one, other) => (other.nominalMm > one.nominalMm ? other : one));
  const most = played.reduce((one, other) => (other.printedMm > one.printedMm ? other : one));
  const free = played.filter(({ held }) => !held).map(({ seam }) => seam);
  return [
    say(
      'The clearances let no seam sit further off at its outer edge than ',
      quantity(worst.nominalMm, 'mm', 2),
      ' (',
      term(worst.seam),
      ') as drawn, and ',
      quantity(most.printedMm, 'mm', 2),
      ' (',
      term(most.seam),
      ') if every face prints off the worse way.',
      ...(free.length === 0
        ? []
        : [
            ' ',
            term(listed(free)),
            ` can still move in another way than the one in which ${free.length === 1 ? 'it opens' : 'they open'}: hold by hand.`,
          ]),
    ),
  ];
}

function jointTable({ joints }: JointsRecord): Block {
  const isCut = joints.some(({ skinMm }) => skinMm !== null);
  return {
    b: 'table',
    caption:
      'Joints. Misfit: the largest step at the outer edge, as drawn, and with every face printed off the worse way',
    columns: [
      { head: 'Seam', align: 'start' },
      { head: 'Keys', align: 'start' },
      { head: 'On', align: 'start' },
      { head: 'Wall', align: 'end' },
      ...(isCut ? [{ head: 'Skin left', align: 'end' } as const] : []),
      { head: 'Clear', align: 'end' },
      { head: 'Misfit', align: 'end' },
      { head: 'Printed', align: 'end' },
    ],
    rows: joints.map(({ seam, kind, keys, wallMm, skinMm, play }) => {
      const { one, many } = KIND_WORDS[kind];
      const clearances = keys.map(({ clearanceMm }) => clearanceMm);
      return [
        [term(seam)],
        [text(keys.length === 0 ? 'none' : `${keys.length} ${keys.length === 1 ? one : many}`)],
        [text(listed([...new Set(keys.map(({ carrier }) => carrier))].sort()))],
        [quantity(wallMm, 'mm', 1)],
        ...(isCut ? [skinMm === null ? [] : [quantity(skinMm, 'mm', 1)]] : []),
        clearances.length === 0 ? [] : [quantity(Math.min(...clearances), 'mm', 2)],
        play === null ? [] : [quantity(play.nominalMm, 'mm', 2)],
        play === null ? [] : [quantity(play.printedMm, 'mm', 2)],
      ];
    }),
  };
}

/** What lies ready besides the pieces: splices to print, rod to cut, discs to buy. Parts of one name and length are one row. */
function looseTable({ loose }: JointsRecord): readonly Block[] {
  if (loose.length === 0) return [];
  const alike = new Map<string, LoosePart[]>();
  for (const part of loose) {
    const key = `${part.seam} ${part.name} ${part.lengthMm.toFixed(1)}`;
    alike.set(key, [...(alike.get(key) ?? []), part]);
  }
  return [
    {
      b: 'table',
      caption: 'What the joints need besides the pieces',
      columns: [
        { head: 'Seam', align: 'start' },
        { head: 'What', align: 'start' },
        { head: 'Number', align: 'end' },
        { head: 'Long', align: 'end' },
      ],
      rows: [...alike.values()].map((parts) => [
        [term(parts[0]!.seam)],
        [text(parts[0]!.name)],
        [quantity(parts.length, 'count', 0)],
        [quantity(parts[0]!.lengthMm, 'mm', 1)],
      ]),
    },
  ];
}

function drawingOf({ seam, kind, keys }: Joint): readonly Block[] {
  const key = keys[Math.floor(keys.length / 2)];
  if (kind === 'none' || key === undefined) return [];
  return [{ b: 'drawing', name: `joint-${seam}`, caption: `${seam}. ${keyWords(key)}` }];
}

/** What is seen of one key, left and right. */
export function keyWords({ kind, carrier, receiver, reachMm, widthMm, heldBy }: Key): string {
  const reach = `${mm(reachMm)} mm`;
  const held =
    heldBy === 'pocket'
      ? `stops of ${receiver} beside it hold it along the seam, their lips from inside`
      : `stops of ${receiver} beside it hold it along the seam`;
  switch (kind) {
    case 'tab':
      return `A tab of ${carrier} lies ${reach} far against the inside of ${receiver}. Right: ${held}.`;
    case 'lap':
      return `A lap of ${carrier} is sunk ${reach} far into the wall of ${receiver}. Right: its seat holds it along the seam.`;
    case 'strip':
      return `A loose splice lies ${reach} far in a seat of either piece; it is glued into ${carrier} first. Right: the seat holds it along the seam.`;
    case 'pin':
      return `A pin of ${carrier}, ${mm(widthMm)} mm across, stands ${reach} deep in a socket of ${receiver}. Right: both cut across.`;
    case 'rod':
      return `A length of rod, ${mm(widthMm)} mm across, stands ${reach} deep in a hole of ${receiver}; it is glued into ${carrier} first. Right: both cut across.`;
    case 'magnet':
      return `A disc in each piece, poles to attract; that of ${carrier} stands out ${reach} and enters the pocket of ${receiver}, so that the joint cannot slide. Right: the disc in its pocket.`;
    case 'screw':
      return `A screw goes through the boss of ${carrier} and cuts its thread ${reach} deep in that of ${receiver}. Right: the narrow hole.`;
  }
}

/** Reasons come as sentences or as half of one. */
function sentence(words: string): string {
  return /[.]$/.test(words) ? words : `${words}.`;
}

function mm(value: number): string {
  return String(Math.round(value * 100) / 100);
}
