// The sheet for the bench: all of the assembly on one page, to be printed and laid beside the glue.
import { listed } from '../../base/listed.ts';
import type { AssembledJoin, AssemblyRecord, SeamGluing } from '../process/assembly-record.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { valueAt } from './editable.ts';
import type { BookResults } from './graph.ts';
import { countWord, quantity, say, term, text } from './spans.ts';
import { wayWords } from './way-words.ts';

export interface AssemblySheet {
  readonly title: string;
  /** Beside the drawing: what it comes to, the dry fit, the glue. */
  readonly beside: readonly Block[];
  /** Under it: the joins in their order, then seam by seam. */
  readonly tables: readonly Block[];
  readonly cautions: readonly Block[];
}

/** Null where nothing is joined. */
export function assemblySheet(build: Build, { pieces, joints, assembly }: BookResults): AssemblySheet | null {
  if (pieces.state !== 'computed' || joints.state !== 'computed' || assembly.state !== 'computed') return null;
  const { record } = assembly;
  if (record.joins.length === 0) return null;
  return {
    title: build.name,
    beside: [
      namesOf(pieces.record),
      sumOf(pieces.record, record),
      readyWords(build, record),
      FACES,
      DRY_FIT,
      ...glueWords(record),
      beadWords(record),
    ],
    tables: [joinTable(record), seamTable(record, joints.record)],
    cautions: CAUTIONS,
  };
}

function sumOf({ pieces }: PiecesRecord, { joins, totals }: AssemblyRecord): Block {
  return say(
    `${countWord(pieces.length)} pieces, ${countWord(joins.length)} join${joins.length === 1 ? '' : 's'}. `.replace(
      /^./,
      (letter) => letter.toUpperCase(),
    ),
    quantity(totals.handsOnS, 's'),
    ' of hands, ',
    quantity(totals.drops, 'count', 0),
    ' drops',
    ...(totals.cureS > 0 ? [', cured ', quantity(totals.cureS, 's'), ' after the last glue'] : []),
    '. Numbers in the drawing are joins.',
  );
}

function namesOf({ pieces }: PiecesRecord): Block {
  return say(
    ...pieces.flatMap(({ id, name }, index) => [index === 0 ? '' : '; ', term(id), name === '' ? '' : ` ${name}`]),
    '.',
  );
}

/** Tools as the steps name them, each once; what is used up, with its amount. */
function readyWords(build: Build, { seams, steps, totals }: AssemblyRecord): Block {
  const tools = [...new Set(steps.flatMap(({ needs }) => needs))].filter((need) => !/^[0-9]|cyanoacrylate/.test(need));
  const tapes = seams.reduce((sum, seam) => sum + seam.tapes, 0);
  return say(
    term('Lies ready:'),
    ` ${tools.join(', ')}; cyanoacrylate, ${String(valueAt(build, 'assembly.grade'))} grade; ${tapes} strips of tape`,
    ...(totals.beadG > 0 ? ['; ', quantity(totals.beadG, 'g', 1), ' of flexible adhesive'] : []),
    '.',
  );
}

const FACES = say(
  term('Faces.'),
  ' Sand flat mating faces on a flat plate; only take the burrs off bowed ones. Clean keys, sockets and pockets of strings.',
);

const DRY_FIT = say(
  term('Dry fit first.'),
  ' Put all together without glue, in the order below. Run a thumb across each seam. A step up to the one in the table is play: press it out by hand. A larger one is a burr, a string or a flared first layer: file it.',
);

function glueWords({ seams }: AssemblyRecord): readonly Block[] {
  const glued = seams.filter(({ drops }) => drops > 0);
  const [inside, face] = (['inside', 'face'] as const).map((where) => glued.some(({ laid }) => laid === where));
  return [
    ...(inside
      ? [
          say(
            term('Glue from inside:'),
            ' press home, tape across the outside, then set the drops into the line, from its middle to both ends.',
          ),
        ]
      : []),
    ...(face
      ? [
          say(
            term('Glue on the face:'),
            ' all drops nearer the inner edge, close at once, straight along the way. It cannot be moved afterwards.',
          ),
        ]
      : []),
  ];
}

function beadWords({ joins, seams }: AssemblyRecord): Block {
  const beaded = seams.filter(({ bead }) => bead !== null);
  if (beaded.length === 0) return say(term('Bead:'), ' none.');
  const early = beaded.flatMap(({ seam, bead }) => {
    const before = bead?.beforeJoin ?? null;
    return before === null ? [] : [`${seam} before join ${before + 1}`];
  });
  const late = beaded.filter(({ bead }) => bead?.beforeJoin === null).map(({ seam }) => seam);
  return say(
    term('Bead:'),
    early.length === 0 ? ' ' : ` ${listed(early)}${joins.length > 0 && late.length > 0 ? '; ' : ''}`,
    late.length === 0
      ? ''
      : late.length === beaded.length
        ? 'all seams when all is joined'
        : `${listed(late)} when all is joined`,
    '.',
  );
}

function joinTable({ joins, seams }: AssemblyRecord): Block {
  return {
    b: 'table',
    caption: 'Joins in their order. Ways are those of the work as it is worn; press is for all runs of a join together',
    columns: [
      { head: 'Join', align: 'end' },
      { head: 'Move', align: 'start' },
      { head: 'Way', align: 'start' },
      { head: 'Closes', align: 'start' },
      { head: 'Drops', align: 'start' },
      { head: 'Runs', align: 'end' },
      { head: 'Press', align: 'end' },
      { head: 'Tape', align: 'end' },
    ],
    rows: joins.map((join, index) => joinRow(join, index, seams)),
  };
}

function joinRow(join: AssembledJoin, index: number, seams: readonly SeamGluing[]): readonly (readonly Span[])[] {
  const closed = seams.filter(({ seam }) => join.seams.includes(seam));
  const sum = (of: (seam: SeamGluing) => number): number => closed.reduce((total, seam) => total + of(seam), 0);
  const laid = (where: SeamGluing['laid']): number =>
    closed.reduce((total, seam) => total + (seam.laid === where ? seam.drops : 0), 0);
  const runs = sum((seam) => (seam.drops > 0 ? seam.runs : 0));
  const drops = [
    ...(laid('face') > 0 ? [`${laid('face')} on the face`] : []),
    ...(laid('inside') > 0 ? [`${laid('inside')} from inside`] : []),
  ];
  return [
    [quantity(index + 1, 'count', 0)],
    [term(join.moving.join(' + ')), text(' onto '), term(join.onto.join(' + '))],
    [text(wayWords(join.towards))],
    [text(listed(join.seams))],
    [text(drops.length === 0 ? 'none' : drops.join(', '))],
    [quantity(runs, 'count', 0)],
    [
      quantity(
        sum(({ holdS }) => holdS),
        's',
      ),
    ],
    [
      quantity(
        sum(({ tapes }) => tapes),
        'count',
        0,
      ),
    ],
  ];
}

function seamTable({ seams }: AssemblyRecord, { joints }: JointsRecord): Block {
  return {
    b: 'table',
    caption: 'Seam by seam: the step to expect in the dry fit, drops and bead',
    columns: [
      { head: 'Seam', align: 'start' },
      { head: 'Keys', align: 'start' },
      { head: 'Step drawn', align: 'end' },
      { head: 'at most', align: 'end' },
      { head: 'Long', align: 'end' },
      { head: 'Drops', align: 'end' },
      { head: 'Laid', align: 'start' },
      { head: 'Bead', align: 'end' },
    ],
    rows: seams.map(({ seam, stepMm, lengthMm, drops, laid, bead }) => {
      const joint = joints.find((each) => each.seam === seam);
      return [
        [term(seam)],
        [text(joint === undefined || joint.keys.length === 0 ? 'none' : `${joint.keys.length} ${joint.kind}`)],
        stepMm === null ? [] : [quantity(stepMm.nominal, 'mm', 2)],
        stepMm === null ? [] : [quantity(stepMm.printed, 'mm', 2)],
        [quantity(lengthMm, 'mm', 0)],
        [quantity(drops, 'count', 0)],
        [text(drops === 0 ? 'not glued' : laid === 'inside' ? 'from inside' : 'on the face')],
        bead === null ? [] : [quantity(bead.lengthMm, 'mm', 0)],
      ];
    }),
  };
}

/** Shorter than in the chapter, which has the whole of them. */
const CAUTIONS: readonly Block[] = [
  {
    b: 'caution',
    title: 'Glue',
    text: 'Bonds skin and eyelids in seconds. Safety glasses, moving air, no cotton or paper near it. Bonded skin: warm soapy water. An eye: a doctor.',
  },
  {
    b: 'caution',
    title: 'Vapour',
    text: 'Solvent and activator catch fire and harm: no flame, gloves, moving air or a half mask for organic vapour. No head inside before all is cured.',
  },
  {
    b: 'caution',
    title: 'Heat',
    text: 'No sanding, no hot tool, no warm car before the cure is over: soft joints creep.',
  },
];
