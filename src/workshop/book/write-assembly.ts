// Writes the Assembly chapter: how it is glued, in which order, what to look for dry, and the work step by step.
import { listed } from '../../base/listed.ts';
import { type AssembledJoin, type AssemblyRecord, IN_REACH, type SeamGluing } from '../process/assembly-record.ts';
import { joinGluing } from '../process/join-gluing.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { Step } from '../process/step.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable, valueAt } from './editable.ts';
import { usualGlue } from './glue-times.ts';
import { misfit } from './joint-words.ts';
import { laidWords } from './laid-words.ts';
import { countWord, quantity, say, term, text } from './spans.ts';
import { wayWords } from './way-words.ts';

export function writeAssembly(
  build: Build,
  pieces: PiecesRecord | null,
  assembly: AssemblyRecord | null,
): readonly Block[] {
  const blocks: Block[] = [
    glueSentence(build),
    ...holdSentences(build),
    beadSentence(build),
    handSentence(build),
    hotSentence(build),
    supportSentence(build),
  ];
  if (pieces === null || assembly === null) return blocks;
  if (assembly.joins.length === 0)
    return [
      ...blocks,
      say(pieces.pieces.length === 1 ? 'It is one piece: nothing is joined.' : 'No seam joins these pieces.'),
    ];
  return [
    ...blocks,
    summary(pieces, assembly),
    waySentence(assembly),
    {
      b: 'drawing',
      name: 'joined',
      caption: 'The pieces apart along the ways by which they are joined; the numbers are the joins in their order.',
    },
    joinTable(assembly),
    ...beadSentences(assembly),
    ...dryFit(assembly),
    ...oneJoin(assembly),
    glueTable(assembly),
    stepTable(assembly),
    SOURCES,
  ];
}

const SOURCES = say(
  'Where these numbers come from: the weight of a drop and the gaps that each grade fills, a handbook of adhesive technology; full strength of cyanoacrylate after 8 to 24 hours, two data sheets. Drops, holds, beads, tape and the time of hands are common practice without a source: correct them by your own.',
);

function glueSentence(build: Build): Block {
  return say(
    'Cyanoacrylate of ',
    choice(build, 'assembly.grade', {
      label: 'Grade of the glue',
      options: [
        { value: 'thin', label: 'thin grade' },
        { value: 'medium', label: 'medium grade' },
        { value: 'thick', label: 'thick grade' },
      ],
    }),
    ' tacks the pieces, and fills gaps of up to ',
    quantity(usualGlue(build).gapMm, 'mm', 2),
    ': a drop every ',
    number(build, 'dropSpacingMm', 'Drop to drop', 'mm', 1, 0.5),
    ', ',
    number(build, 'dropS', 'Time for a drop', 's', 1, 0.5),
    ' each.',
  );
}

function holdSentences(build: Build): readonly Block[] {
  const usual = usualGlue(build);
  const isActivated = valueAt(build, 'assembly.activator') === true;
  return [
    say(
      'Laid drops are pressed within ',
      editable(build, 'assembly.openS', { label: 'Open time', unit: 's', digits: 0, step: 5, missing: usual.openS }),
      ', so a long seam is glued in runs, and each run is held for ',
      editable(build, 'assembly.holdS', {
        label: 'Hold time',
        unit: 's',
        digits: 0,
        step: 5,
        missing: usual.holdS,
      }),
      '. It sets ',
      choice(build, 'assembly.activator', {
        label: 'Activator',
        options: [
          { value: false, label: 'by itself' },
          { value: true, label: 'by a spray of activator' },
        ],
      }),
      isActivated
        ? ': quick, but it gets hot, bonds brittle and can leave a white bloom. Spray one face, lay the drops on the other.'
        : '.',
      ' Tape across the outside clamps what no clamp can hold: a strip every ',
      number(build, 'tapeEveryMm', 'Tape to tape', 'mm', 0, 10),
      ' and one at each end. Where a seam ends at an opening, a spring clamp over a scrap of card does it better.',
    ),
  ];
}

function beadSentence(build: Build): Block {
  const hasBead = valueAt(build, 'assembly.bead') === true;
  return say(
    'Along the inside ',
    choice(build, 'assembly.bead', {
      label: 'Bead inside',
      options: [
        { value: true, label: 'a flexible bead is laid' },
        { value: false, label: 'no bead is laid' },
      ],
    }),
    ...(hasBead
      ? [
          ', a fillet with legs of ',
          number(build, 'beadLegMm', 'Leg of the bead', 'mm', 1, 0.5),
          '; it can be handled after an hour and is cured after ',
          number(build, 'beadCureH', 'Hours of cure', 'count', 0, 12),
          ' hours.',
        ]
      : ['; drops and keys alone hold it, and a knock can part them.']),
  );
}

function supportSentence(build: Build): Block {
  return say(
    'Before all of this support and strings come off each piece, also from under its keys and what holds them: ',
    number(build, 'supportMin', 'Minutes to take support off', 'count', 0, 5),
    ' minutes of hands a piece.',
  );
}

function handSentence(build: Build): Block {
  const side = (index: 0 | 1, label: string): Span =>
    editable(build, `assembly.handMm.${index}`, { label, unit: 'mm', digits: 0, step: 5 });
  return say(
    'The hand that works inside is ',
    side(0, 'Width of the hand'),
    ' wide and ',
    side(1, 'Thickness of the hand'),
    ' thick.',
  );
}

function hotSentence(build: Build): Block {
  const isHot = valueAt(build, 'assembly.hotTool') === true;
  return say(
    'A hot tool ',
    choice(build, 'assembly.hotTool', {
      label: 'Hot tool',
      options: [
        { value: false, label: 'is not used' },
        { value: true, label: 'welds the inside in spots' },
      ],
    }),
    ...(isHot
      ? [
          ', one every ',
          number(build, 'tackEveryMm', 'Weld to weld', 'mm', 0, 5),
          ': no deeper than half the wall, or it shows outside.',
        ]
      : ['.']),
  );
}

function number(
  build: Build,
  key: string,
  label: string,
  unit: 'mm' | 's' | 'count',
  digits: number,
  step: number,
): Span {
  return editable(build, `assembly.${key}`, { label, unit, digits, step });
}

function summary({ pieces }: PiecesRecord, { joins, totals }: AssemblyRecord): Block {
  return say(
    `The ${countWord(pieces.length)} pieces become one in ${countWord(joins.length)} join${joins.length === 1 ? '' : 's'}: `,
    quantity(totals.handsOnS, 's'),
    ' of hands',
    ...(totals.drops > 0
      ? [', ', quantity(totals.drops, 'count', 0), ' drops, which weigh ', quantity(totals.dropsG, 'g', 2)]
      : []),
    ...(totals.beadMm > 0
      ? [', and ', quantity(totals.beadMm, 'mm', 0), ' of bead, ', quantity(totals.beadG, 'g', 1), ' from the tube']
      : []),
    '. ',
    ...(totals.cureS > 0
      ? [
          'All is cured ',
          quantity(totals.cureS, 's'),
          ` after the last glue, on day ${1 + Math.ceil(totals.cureS / DAY_S)} when the last is laid on day 1; until then no sanding, no heat, no head.`,
        ]
      : []),
  );
}

const DAY_S = 24 * 3600;

function waySentence({ joins }: AssemblyRecord): Block {
  const blocked = joins.filter(({ meets }) => meets.length > 0);
  if (blocked.length === 0)
    return say(
      'Every way was tried with the pieces as they are written, keys and all: each group goes straight to its place and meets nothing.',
    );
  return say(
    `${blocked.length === 1 ? 'One join does' : `${countWord(blocked.length)} joins do`.replace(/^./, (letter) => letter.toUpperCase())} not close: `,
    ...blocked.flatMap(({ meets }, index): (string | Span)[] => {
      const worst = meets[0]!;
      return [
        index === 0 ? '' : '; ',
        term(worst.moving),
        ' meets ',
        term(worst.fixed),
        ' ',
        quantity(worst.beforeMm, 'mm', 1),
        ' before it is home, ',
        quantity(worst.depthMm, 'mm', 2),
        ' deep',
      ];
    }),
    '. Change the keys of that seam before anything is printed.',
  );
}

function groupSpan(pieces: readonly string[]): Span {
  return term(pieces.join(' + '));
}

function joinTable({ joins, seams }: AssemblyRecord): Block {
  return {
    b: 'table',
    caption: 'Joins in their order; ways are those of the helm as it is worn',
    columns: [
      { head: 'Join', align: 'end' },
      { head: 'Moves', align: 'start' },
      { head: 'Onto', align: 'start' },
      { head: 'It goes', align: 'start' },
      { head: 'Closes', align: 'start' },
      { head: 'Drops', align: 'end' },
      { head: 'Pressed', align: 'end' },
    ],
    rows: joins.map((join, index) => {
      const { faceDrops, insideDrops, pressS } = joinGluing(join, seams);
      return [
        [quantity(index + 1, 'count', 0)],
        [groupSpan(join.moving)],
        [groupSpan(join.onto)],
        [text(wayWords(join.towards))],
        [term(listed(join.seams))],
        [quantity(faceDrops + insideDrops, 'count', 0)],
        pressS > 0 ? [quantity(pressS, 's')] : [],
      ];
    }),
  };
}

/** What is beaded before which join, and what can wait. */
function beadSentences({ joins, seams }: AssemblyRecord): readonly Block[] {
  const beaded = seams.filter(({ bead }) => bead !== null);
  if (beaded.length === 0) return [];
  const early = joins.flatMap((join, index) => {
    const shut = beaded.filter(({ bead }) => bead?.beforeJoin === index);
    return shut.length === 0 ? [] : [earlyBead(join, shut)];
  });
  const late = beaded.filter(({ bead }) => bead?.beforeJoin === null);
  if (late.length === 0) return early;
  const [all, part] = [late.filter(isWhole), late.filter((seam) => !isWhole(seam))];
  const when =
    early.length === 0
      ? 'The bead can wait until all is joined: a hand then reaches '
      : 'At the end a hand still reaches ';
  return [
    ...early,
    say(
      when,
      ...(all.length === 0 ? [] : [seamNames(all), ' all along']),
      ...(all.length > 0 && part.length > 0 ? [', and '] : []),
      ...(part.length === 0 ? [] : [seamNames(part), ' in part; there the bead ends where the hand does']),
      '.',
    ),
  ];
}

function isWhole({ bead }: SeamGluing): boolean {
  return bead !== null && bead.share >= IN_REACH;
}

function seamNames(seams: readonly SeamGluing[]): Span {
  return term(listed(seams.map(({ seam }) => seam)));
}

function earlyBead(join: AssembledJoin, shut: readonly SeamGluing[]): Block {
  return say(
    'Bead ',
    term(listed(shut.map(({ seam }) => seam))),
    ' before ',
    groupSpan(join.moving),
    ' goes onto ',
    groupSpan(join.onto),
    ', and give it an hour: once they are closed no hand gets inside.',
  );
}

function dryFit({ seams }: AssemblyRecord): readonly Block[] {
  const keyed = seams.filter(({ stepMm }) => stepMm !== null);
  if (keyed.length === 0)
    return [
      say(
        'These seams have no keys: fit each pair dry, rub a thumb across the line until nothing catches, tape it, and only then glue.',
      ),
    ];
  return [
    say(
      'First everything goes together dry, in the order of the joins and held by tape; then it is taken apart again, and only then comes the first glue. Run a thumb across each line. A step up to the second column is the play of the keys as drawn; up to the third it is play as well, of keys that printed a little off. Both are pressed out by hand while the drops set; what springs back is held by a strip of tape across the line until they have. A step beyond the third column has a cause: a burr on a key, support or strings left where it goes in, a flared first layer. Do not press it: take the join apart, find the cause and file it before there is glue.',
    ),
    {
      b: 'table',
      caption: 'Steps to expect at the outer edge in the dry fit',
      columns: [
        { head: 'Seam', align: 'start' },
        { head: 'As drawn', align: 'end' },
        { head: 'As printed, at most', align: 'end' },
        { head: 'Stays', align: 'start' },
      ],
      rows: keyed.map(({ seam, stepMm, stays }) => [
        [term(seam)],
        misfit(stepMm!.nominal),
        misfit(stepMm!.printed),
        [text(stays === 'glued' ? 'glued' : 'comes apart')],
      ]),
    },
  ];
}

/** How one join is made, by where its drops are laid. */
function oneJoin({ seams }: AssemblyRecord): readonly Block[] {
  const inside = seams.filter(({ drops, faceDrops }) => drops > faceDrops);
  const face = seams.filter(({ faceDrops }) => faceDrops > 0);
  const both = face.filter(({ drops, faceDrops }) => drops > faceDrops);
  return [
    ...(inside.length === 0
      ? []
      : [
          say(
            'A join is glued closed: press it home, tape it across the outside, run a thumb along the line. Only then set drops into it from inside: the first in the middle of its longest seam, then run by run to both ends, each pressed until it holds. So no glue gets onto the outside.',
          ),
        ]),
    ...(face.length === 0
      ? []
      : [
          say(
            'Of ',
            seamNames(face),
            ' a hand does not reach the whole line once it is closed. See in the dry fit how far fingers and nozzle come. What lies beyond gets its drops before, on the open face, nearer to its inner edge than to its outer one; then close at once, straight along the way: it cannot be moved afterwards.',
            ...(both.length === 0 ? [] : [' The rest is set from inside, as told above.']),
          ),
        ]),
  ];
}

function glueTable({ seams, totals }: AssemblyRecord): Block {
  return {
    b: 'table',
    caption: 'Glue, seam by seam: drops on the open face first, then close and tape, then the others from inside',
    columns: [
      { head: 'Seam', align: 'start' },
      { head: 'Length', align: 'end' },
      { head: 'Drops', align: 'end' },
      { head: 'Laid', align: 'start' },
      { head: 'Runs', align: 'end' },
      { head: 'Tape', align: 'end' },
      { head: 'Bead', align: 'end' },
      { head: 'Weighs', align: 'end' },
    ],
    rows: seams.map((seam) => [
      [term(seam.seam)],
      [quantity(seam.lengthMm, 'mm', 0)],
      [quantity(seam.drops, 'count', 0)],
      [text(laidWords({ ...seam, insideDrops: seam.drops - seam.faceDrops }))],
      [quantity(seam.runs, 'count', 0)],
      [quantity(seam.tapes, 'count', 0)],
      seam.bead === null ? [text('none')] : [quantity(seam.bead.lengthMm, 'mm', 0)],
      seam.bead === null ? [] : [quantity(seam.bead.grams, 'g', 1)],
    ]),
    total: [
      [text('together')],
      [
        quantity(
          seams.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
          'mm',
          0,
        ),
      ],
      [quantity(totals.drops, 'count', 0)],
      [],
      [],
      [
        quantity(
          seams.reduce((sum, { tapes }) => sum + tapes, 0),
          'count',
          0,
        ),
      ],
      [quantity(totals.beadMm, 'mm', 0)],
      [quantity(totals.beadG, 'g', 1)],
    ],
  };
}

function stepTable({ steps, totals }: AssemblyRecord): Block {
  return {
    b: 'table',
    caption: 'The work in order',
    columns: [
      { head: 'Step', align: 'end' },
      { head: 'What', align: 'start' },
      { head: 'Lies ready', align: 'start' },
      { head: 'Hands', align: 'end' },
      { head: 'Then wait', align: 'end' },
    ],
    rows: steps.map((step, index) => stepRow(step, index)),
    total: [[text('together')], [], [], [quantity(totals.handsOnS, 's')], []],
  };
}

function stepRow({ name, needs, handsOnS, unattendedS }: Step, index: number): readonly (readonly Span[])[] {
  return [
    [quantity(index + 1, 'count', 0)],
    [text(name)],
    [text(needs.join(', '))],
    // hands are not timed by the second
    handsOnS > 0 ? [quantity(Math.ceil(handsOnS / 60) * 60, 's')] : [],
    unattendedS > 0 ? [quantity(unattendedS, 's')] : [],
  ];
}
