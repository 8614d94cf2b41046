// The sheet for the bench: all of the assembly on one page, to be printed and laid beside the glue.
import { listed } from '../../base/listed.ts';
import { type AssembledJoin, type AssemblyRecord, IN_REACH, type SeamGluing } from '../process/assembly-record.ts';
import { joinGluing } from '../process/join-gluing.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import { fromKeyPlaces, keyPlaces } from '../process/key-places.ts';
import { isBowed, matingFaces } from '../process/mating-faces.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import { sheetCautions } from './assembly-cautions.ts';
import type { BenchSheet } from './bench-sheet.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { valueAt } from './editable.ts';
import { glueTimes } from './glue-times.ts';
import type { BookResults } from './graph.ts';
import { keysCounted, misfit } from './joint-words.ts';
import { dropsLaid } from './laid-words.ts';
import { countWord, quantity, say, term, text } from './spans.ts';
import { wayWords } from './way-words.ts';

/** Null where nothing is joined. */
export function assemblySheet(build: Build, { pieces, joints, assembly }: BookResults): BenchSheet | null {
  if (pieces.state !== 'computed' || joints.state !== 'computed' || assembly.state !== 'computed') return null;
  const { record } = assembly;
  if (record.joins.length === 0) return null;
  return {
    label: 'Assembly on one page',
    title: build.name,
    drawing: 'joined',
    beside: [
      namesOf(build, pieces.record),
      sumOf(pieces.record, record),
      readyWords(build, record, joints.record),
      supportWords(joints.record),
      faceWords(pieces.record, joints.record),
      DRY_FIT,
      ...glueWords(record),
      ...timeWords(build, record),
      beadWords(build, record),
    ],
    tables: [joinTable(record), seamTable(record, joints.record)].map((table) => ({ table, halves: 'where long' })),
    cautions: sheetCautions(build, record),
  };
}

function sumOf({ pieces }: PiecesRecord, { joins, totals }: AssemblyRecord): Block {
  return say(
    `${countWord(pieces.length)} pieces, ${countWord(joins.length)} join${joins.length === 1 ? '' : 's'}. `.replace(
      /^./,
      (letter) => letter.toUpperCase(),
    ),
    quantity(totals.handsOnS, 's'),
    ' of hands',
    ...(totals.drops > 0 ? [', ', quantity(totals.drops, 'count', 0), ' drops'] : []),
    ...(totals.cureS > 0 ? [', cured ', quantity(totals.cureS, 's'), ' after the last glue'] : []),
    '. Numbers in the drawing are joins.',
  );
}

function namesOf({ joints }: Build, { pieces }: PiecesRecord): Block {
  return say(
    ...pieces.flatMap(({ id, name }, index) => [index === 0 ? '' : '; ', term(id), name === '' ? '' : ` ${name}`]),
    joints.keys && joints.marks ? '. Letters are engraved inside, with an arrow that points up.' : '.',
  );
}

/** Tools as the steps name them, each once; what is used up, with its amount. */
function readyWords(build: Build, { seams, steps, totals }: AssemblyRecord, { loose }: JointsRecord): Block {
  const tapes = seams.reduce((sum, seam) => sum + seam.tapes, 0);
  const tools = [...new Set(steps.flatMap(({ needs }) => needs))].filter(
    (need) => !/^[0-9]|cyanoacrylate/.test(need) && (need !== 'tape' || tapes === 0),
  );
  const isGlued = steps.some(({ needs }) => needs.some((need) => need.includes('cyanoacrylate')));
  const parts = [...new Set(loose.map(({ name }) => name))].map((name) => {
    const count = loose.filter((part) => part.name === name).length;
    return `${count} ${count === 1 ? name : (MANY[name] ?? `${name}s`)}`;
  });
  return say(
    term('Lies ready:'),
    ` ${[
      tools.join(', '),
      ...(parts.length === 0 ? [] : [listed(parts)]),
      ...(isGlued ? [`cyanoacrylate, ${String(valueAt(build, 'assembly.grade'))} grade`] : []),
      ...(tapes === 0 ? [] : [`${tapes} strips of tape`]),
    ].join('; ')}`,
    ...(totals.beadG > 0 ? ['; ', quantity(totals.beadG, 'g', 1), ' of flexible adhesive'] : []),
    '.',
  );
}

const MANY: Readonly<Record<string, string>> = { 'length of rod': 'lengths of rod' };

/** Named by the kinds of key that this build has, with the least room between two that slide. */
function supportWords({ joints }: JointsRecord): Block {
  const places = fromKeyPlaces(keyPlaces(joints), 'all');
  const rooms = joints.flatMap(({ keys }) =>
    keys.map(({ clearanceMm, besideMm }) => Math.min(clearanceMm, besideMm ?? clearanceMm)),
  );
  return say(
    term('Support'),
    ' and strings off every piece first',
    ...(places === ''
      ? ['.']
      : [`, also ${places}: these slide with as little as `, quantity(Math.min(...rooms), 'mm', 2), ' of room.']),
  );
}

/** Faces by how they are dressed, the bowed ones by the seams they lie on. */
function faceWords({ pieces, seams }: PiecesRecord, { joints }: JointsRecord): Block {
  const faces = pieces.map(({ id }) => matingFaces(id, seams, joints));
  const keys = [...new Set(faces.flatMap((one) => one.keys))];
  const bowed = seams.filter(isBowed).map(({ id }) => id);
  const ways = [
    ...(faces.some(({ plain }) => plain.length > 0) ? ['sand flat ones on a flat plate'] : []),
    ...(keys.length === 0 ? [] : [`file between ${listed(keys)} that stand out`]),
    ...(bowed.length > 0 ? [`only take the burrs off bowed ones (${listed(bowed)})`] : []),
  ].join('; ');
  return say(term('Faces.'), ` ${ways.replace(/^./, (letter) => letter.toUpperCase())}.`);
}

const DRY_FIT = say(
  term('Dry fit first.'),
  ' Put all together without glue, in the order below, held by tape. Run a thumb across each seam, then take all apart again. A step of no more than “at most” in the lower table is play: press it out by hand. Beyond that do not press: file the burr, string or flared first layer.',
);

function glueWords({ seams }: AssemblyRecord): readonly Block[] {
  const face = seams.some(({ faceDrops }) => faceDrops > 0);
  const inside = seams.some(({ drops, faceDrops }) => drops > faceDrops);
  return [
    ...(face
      ? [
          say(
            term('Glue on the face:'),
            ' only where no hand comes later. Drops nearer the inner edge, close at once, straight along the way. It cannot be moved afterwards.',
          ),
        ]
      : []),
    ...(inside
      ? [
          say(
            term('Glue from inside:'),
            ' press home, tape across the outside, then set the drops into the line, from its middle to both ends.',
          ),
        ]
      : []),
  ];
}

/** What the hand counts while it glues. */
function timeWords(build: Build, { totals }: AssemblyRecord): readonly Block[] {
  if (totals.drops === 0) return [];
  const { openS, holdS } = glueTimes(build);
  return [
    say(
      term('Each run:'),
      ' a drop every ',
      quantity(Number(valueAt(build, 'assembly.dropSpacingMm')), 'mm', 1),
      ', pressed within ',
      quantity(openS, 's'),
      ' of the first and held for ',
      quantity(holdS, 's'),
      '.',
    ),
  ];
}

function beadWords(build: Build, { joins, seams }: AssemblyRecord): Block {
  const beaded = seams.filter(({ bead }) => bead !== null);
  if (beaded.length === 0) return say(term('Bead:'), ' none.');
  const early = beaded.flatMap(({ seam, bead }) => {
    const before = bead?.beforeJoin ?? null;
    return before === null ? [] : [`${seam} before join ${before + 1}`];
  });
  const late = beaded.filter(({ bead }) => bead?.beforeJoin === null).map(({ seam }) => seam);
  return say(
    term('Bead,'),
    ' legs of ',
    quantity(Number(valueAt(build, 'assembly.beadLegMm')), 'mm', 1),
    early.length === 0 ? ': ' : `: ${listed(early)}${joins.length > 0 && late.length > 0 ? '; ' : ''}`,
    late.length === 0
      ? ''
      : late.length === beaded.length
        ? 'all seams when all is joined'
        : `${listed(late)} when all is joined`,
    beaded.some(({ bead }) => bead !== null && bead.share < IN_REACH) ? ', as far as a hand comes.' : '.',
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
  const gluing = joinGluing(join, seams);
  return [
    [quantity(index + 1, 'count', 0)],
    [term(join.moving.join(' + ')), text(' onto '), term(join.onto.join(' + '))],
    [text(wayWords(join.towards))],
    [text(listed(join.seams))],
    [text(dropsLaid(gluing))],
    [quantity(gluing.runs, 'count', 0)],
    gluing.pressS > 0 ? [quantity(gluing.pressS, 's')] : [],
    [quantity(gluing.tapes, 'count', 0)],
  ];
}

/** In the order in which they are closed. */
function seamTable({ seams, joins }: AssemblyRecord, { joints }: JointsRecord): Block {
  const closed = joins.flatMap((join) => seams.filter(({ seam }) => join.seams.includes(seam)));
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
      { head: 'on the face', align: 'end' },
      { head: 'Bead', align: 'end' },
    ],
    rows: closed.map(({ seam, stepMm, lengthMm, drops, faceDrops, bead }) => {
      const joint = joints.find((each) => each.seam === seam);
      return [
        [term(seam)],
        [text(joint === undefined ? 'none' : keysCounted(joint.kind, joint.keys.length))],
        stepMm === null ? [] : misfit(stepMm.nominal),
        stepMm === null ? [] : misfit(stepMm.printed),
        [quantity(lengthMm, 'mm', 0)],
        [quantity(drops, 'count', 0)],
        faceDrops > 0 ? [quantity(faceDrops, 'count', 0)] : [],
        bead === null ? [] : [quantity(bead.lengthMm, 'mm', 0)],
      ];
    }),
  };
}
