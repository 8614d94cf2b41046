// Writes the Joints chapter: what registers each seam, how true it sits, and what is cut for it.
import type { Joint, JointsRecord, Key, LoosePart } from '../process/joints-record.ts';
import type { Block, Span, Unit } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { playSentences } from './joint-misfits.ts';
import { KIND_WORDS, keysCounted, misfit, seamsTerm } from './joint-words.ts';
import { countWord, quantity, say, term, text } from './spans.ts';
import {
  askedOfSeams,
  astrayWishes,
  boughtSizes,
  jointChoices,
  jointChoicesSentence,
  type SeamsWorn,
} from './write-asked-joints.ts';

/** `worn`: null while there is no division. */
export function writeJoints(build: Build, joints: JointsRecord | null, worn: SeamsWorn | null): readonly Block[] {
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
    say('The pieces ', keyed, ', so that they find their place by themselves.'),
    tabSentence(build, joints),
    ...boughtSizes(build, joints),
    roomSentence(build),
    ...build.machines.map((_machine, index) => clearanceSentence(build, index)),
    ...(joints === null ? [] : closerSentence(build, joints)),
    ...(worn === null ? [] : astrayWishes(build, worn)),
  ];
  if (joints === null) return worn === null ? blocks : [...blocks, ...jointChoicesSentence(build, worn)];
  if (joints.joints.length === 0) return blocks;
  blocks.push(
    ...kindSentences(build, joints, worn),
    ...skinSentence(joints),
    ...supportSentence(build, joints),
    ...playSentences(joints),
    jointTable(build, joints, worn),
    ...looseTable(build, joints),
    ...joints.joints.flatMap(drawingOf),
  );
  return blocks;
}

function number(build: Build, key: string, label: string, unit: Unit, look: { digits: number; step: number }): Span {
  return editable(build, `joints.${key}`, { label, unit, ...look });
}

/** Places may be narrower than what is asked for. Pins are told of where there are some, or while nothing is known of it. */
function tabSentence(build: Build, joints: JointsRecord | null): Block {
  const hasPins = joints === null || joints.joints.some(({ kind }) => kind === 'pins');
  return say(
    'A key comes about every ',
    number(build, 'spacingMm', 'Distance between keys', 'mm', { digits: 0, step: 5 }),
    ' of seam; tabs are up to ',
    number(build, 'tabWidthMm', 'Width of a tab', 'mm', { digits: 0, step: 1 }),
    ' wide and ',
    number(build, 'tabThickMm', 'Thickness of a tab', 'mm', { digits: 1, step: 0.1 }),
    ' thick, and reach up to ',
    number(build, 'tabReachMm', 'Reach of a tab', 'mm', { digits: 0, step: 1 }),
    ' over the seam',
    ...(hasPins
      ? [
          ', pins measure up to ',
          number(build, 'pinMm', 'Diameter of pins', 'mm', { digits: 1, step: 0.5 }),
          ' across.',
        ]
      : ['.']),
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

/** Seams whose keys got less room than every machine gives by itself, and why. */
function closerSentence({ machines }: Build, { joints }: JointsRecord): readonly Block[] {
  const given = Math.min(...machines.map(({ clearanceMm }) => clearanceMm));
  const leastOf = ({ keys }: Joint): number => Math.min(...keys.map(({ clearanceMm }) => clearanceMm));
  const keyed = joints.filter(({ keys }) => keys.length > 0);
  const closer = keyed.filter((joint) => leastOf(joint) < given - ROUNDING_MM);
  if (closer.length === 0) return [];
  return [
    say(
      ...(closer.length === keyed.length
        ? [keyed.length === 1 ? 'The keys of its seam have ' : 'The keys of all seams have ']
        : ['The keys of ', seamsTerm(closer), ' have ']),
      'less, ',
      quantity(Math.min(...closer.map(leastOf)), 'mm', 2),
      ': closer where nothing else holds a seam true. They still slide, with a stroke of a file at worst.',
    ),
  ];
}

const ROUNDING_MM = 1e-6;

/** Seams of one kind in one sentence; what is particular about some follows it, one reason once. */
function kindSentences(build: Build, { joints }: JointsRecord, worn: SeamsWorn | null): readonly Block[] {
  const asked = worn === null ? [] : askedOfSeams(build, worn);
  const isMet = ({ seam, kind }: Joint): boolean =>
    asked[worn?.seams.findIndex(({ id }) => id === seam) ?? -1]?.join === kind;
  const groups = [...new Set(joints.map((joint) => `${joint.kind} ${isMet(joint)}`))].map((name) =>
    joints.filter((joint) => `${joint.kind} ${isMet(joint)}` === name),
  );
  // a wish that was not met is told in the margin
  const told = joints.filter((joint) => joint.why !== null && !isMet(joint) && !/^Asked for /.test(joint.why));
  const whys = [...new Set(told.map(({ why }) => why ?? ''))];
  return [
    ...groups.map((alike) => {
      const are = `${KIND_WORDS[alike[0]!.kind].are}${isMet(alike[0]!) ? ', as you asked' : ''}.`;
      if (alike.length === joints.length && alike.length > 1)
        return say(`All ${countWord(alike.length)} seams have ${are}`);
      return say(seamsTerm(alike), alike.length === 1 ? ' has ' : ' have ', are);
    }),
    ...whys.map((why) => say(seamsTerm(joints.filter((joint) => joint.why === why)), `: ${sentence(why)}`)),
  ];
}

/** The least of it, with where; nothing where nothing was cut. */
function skinSentence({ joints }: JointsRecord): readonly Block[] {
  const cut = joints.flatMap(({ seam, skinMm }) => (skinMm === null ? [] : [{ seam, skinMm }]));
  if (cut.length === 0) return [];
  const least = cut.reduce((one, other) => (other.skinMm < one.skinMm ? other : one));
  return [
    say(
      'What was cut for keys leaves at least ',
      quantity(least.skinMm, 'mm', 1),
      ' of wall, at ',
      term(least.seam),
      '.',
    ),
  ];
}

/** Less is swept off with the other strings. */
const WORTH_TELLING_G = 0.5;

/** Support that keys bring besides that of the pieces as they were cut, with the piece that has most of it. */
function supportSentence(build: Build, { pieces, keySupportMm3 }: JointsRecord): readonly Block[] {
  if (keySupportMm3 === undefined) return [];
  const { supportPercent } = build.print;
  const grams = keySupportMm3.map((mm3) => (mm3 * supportPercent * build.material.densityGCm3) / 100 / 1000);
  const sum = grams.reduce((total, one) => total + one, 0);
  if (sum < WORTH_TELLING_G) return [say('The keys need no support of their own.')];
  const most = Math.max(...grams);
  const { id } = pieces[grams.indexOf(most)]!;
  return [
    say(
      'Where keys hang over they bring ',
      quantity(sum, 'g', 0),
      ' of support besides that of the pieces as they were cut',
      ...(grams.filter((one) => one >= WORTH_TELLING_G).length === 1
        ? [', all on ', term(id), '.']
        : [', most on ', term(id), ' with ', quantity(most, 'g', 0), '.']),
    ),
  ];
}

/** The choice stands beside the seam, so that it is in view where a table is wider than its page. */
function jointTable(build: Build, { joints }: JointsRecord, worn: SeamsWorn | null): Block {
  const choices = worn === null ? [] : jointChoices(build, worn);
  const choiceOf = (seam: string): readonly Span[] =>
    choices.filter((_choice, index) => worn?.seams[index]?.id === seam);
  return {
    b: 'table',
    caption:
      'Joints. Misfit: the largest step at the outer edge once all seams of a join are pressed shut, as drawn, and with every face printed off the worse way',
    columns: [
      { head: 'Seam', align: 'start' },
      ...(worn === null ? [] : [{ head: 'Joined', align: 'start', offers: true } as const]),
      { head: 'Keys', align: 'start' },
      { head: 'Wall', align: 'end' },
      { head: 'Clear', align: 'end' },
      { head: 'Misfit', align: 'end' },
      { head: 'Printed', align: 'end' },
    ],
    rows: joints.map(({ seam, kind, keys, wallMm, play }) => {
      const clearances = keys.map(({ clearanceMm }) => clearanceMm);
      return [
        [term(seam)],
        ...(worn === null ? [] : [choiceOf(seam)]),
        [text(keysCounted(kind, keys.length))],
        // where no key was tried, no wall was measured
        wallMm > 0 ? [quantity(wallMm, 'mm', 1)] : [],
        clearances.length === 0 ? [] : [quantity(Math.min(...clearances), 'mm', 2)],
        play === null ? [] : misfit(play.nominalMm),
        play === null ? [] : misfit(play.printedMm),
      ];
    }),
  };
}

/** What lies ready besides the pieces: splices to print, rod to cut, discs and screws to buy. Parts of one name and length are one row. */
function looseTable(build: Build, { joints, loose }: JointsRecord): readonly Block[] {
  if (loose.length === 0) return [];
  const alike = new Map<string, LoosePart[]>();
  for (const part of loose) {
    const key = `${part.seam} ${part.name} ${part.lengthMm.toFixed(1)}`;
    alike.set(key, [...(alike.get(key) ?? []), part]);
  }
  const gramsOf = (volumeMm3: number): number => (volumeMm3 * build.material.densityGCm3) / 1000;
  const keyOf = (seam: string): Key | undefined => joints.find((joint) => joint.seam === seam)?.keys[0];
  const isPrinted = joints.some(({ kind }) => kind === 'strips');
  return [
    {
      b: 'table',
      caption: isPrinted
        ? 'What the joints need besides the pieces; splices are in the kit, and their hours under Printing'
        : 'What the joints need besides the pieces',
      columns: [
        { head: 'Seam', align: 'start' },
        { head: 'What', align: 'start' },
        { head: 'Number', align: 'end' },
        { head: 'Across', align: 'end' },
        { head: 'Long', align: 'end' },
        ...(isPrinted ? [{ head: 'Weighs', align: 'end' } as const] : []),
      ],
      rows: [...alike.values()].map((parts) => {
        const [{ seam, name, lengthMm }] = parts as [LoosePart];
        const key = keyOf(seam);
        const isSplice = key?.kind === 'strip';
        return [
          [term(seam)],
          [text(name)],
          [quantity(parts.length, 'count', 0)],
          key === undefined ? [] : [quantity(isSplice ? 2 * key.reachMm : key.widthMm, 'mm', 2)],
          [quantity(lengthMm, 'mm', 1)],
          ...(isPrinted
            ? [isSplice ? [quantity(gramsOf(parts.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0)), 'g', 1)] : []]
            : []),
        ];
      }),
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
      return `A disc in each piece, poles to attract; that of ${carrier} stands out ${reach} and enters the pocket of ${receiver}, so that the joint cannot slide. Right: that disc in the pocket.`;
    case 'screw':
      return `A screw goes through the boss of ${carrier} and cuts its thread ${reach} deep in that of ${receiver}. Right: the screw in its narrow hole.`;
  }
}

/** Reasons come as sentences or as half of one. */
function sentence(words: string): string {
  return /[.]$/.test(words) ? words : `${words}.`;
}

function mm(value: number): string {
  return String(Math.round(value * 100) / 100);
}
