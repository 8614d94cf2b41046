// Writes the Pieces chapter.
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { machineLabel, machineWords } from './machine-words.ts';
import { countWord, offer, quantity, say, term, text } from './spans.ts';
import { askedBlocks, machineOfPiece } from './write-asked.ts';
import { proposalBlocks, SEAM_PENS, seamSentences, seamTable, weightSentences } from './write-seams.ts';

export function writePieces(build: Build, pieces: PiecesRecord | null, wearer: WearerRecord | null): readonly Block[] {
  const blocks: Block[] = [
    machineSentence(build),
    ...(build.machines.length < MOST_MACHINES ? [oneMoreSentence(build)] : []),
    ...build.machines.map((_machine, index) => bedSentence(build, index)),
    marginSentence(build),
    ...askedBlocks(build, pieces, wearer),
  ];
  if (pieces === null || wearer === null) return blocks;
  if (pieces.seams.length === 0) {
    blocks.push(say('It fits whole: one print, no seam.'));
    return blocks;
  }
  const outer = pieces.seams.reduce((sum, seam) => sum + seam.outerMm, 0);
  blocks.push(
    say(
      `So the shell is divided into ${countWord(pieces.pieces.length)} pieces by ${countWord(pieces.seams.length)} seam${pieces.seams.length === 1 ? '' : 's'}; `,
      quantity(outer, 'mm', 0),
      ' of seam shows on the outside and will want filling, as much work as ',
      quantity(
        pieces.seams.reduce((sum, seam) => sum + seam.costMm, 0),
        'mm',
        0,
      ),
      ' in full view.',
    ),
    ...proposalBlocks(build, pieces),
    {
      b: 'drawing',
      name: 'apart',
      caption: 'The pieces apart, each along its own way out. What the red lines say:',
      pens: SEAM_PENS,
    },
    pieceTable(build, pieces, wearer),
    ...seamSentences(pieces),
    seamTable(build, pieces, wearer),
    ...weightSentences(build),
  );
  return blocks;
}

/** As many as the build file takes. */
const MOST_MACHINES = 12;

/** The page adds what the workshop has to these choices. */
function machineSentence(build: Build): Block {
  const parts = build.machines.flatMap((machine, index) => [
    index === 0 ? '' : index === build.machines.length - 1 ? ' and ' : ', ',
    build.machines.length === 1 ? 'The machine is ' : `${index === 0 ? 'Machine' : 'machine'} ${index + 1} is `,
    choice(build, `machines.${index}`, {
      label: build.machines.length === 1 ? 'Machine' : `Machine ${index + 1}`,
      options: [{ value: machine, label: machineLabel(machine) }],
    }),
  ]);
  return say(...parts, '.');
}

function oneMoreSentence(build: Build): Block {
  return offer(
    build.machines.length === 1 ? 'A second machine may print beside it: ' : 'One more may print beside them: ',
    choice(build, 'machines', {
      label: 'One more machine',
      options: [{ value: build.machines, label: 'none' }],
    }),
    '.',
  );
}

function bedSentence(build: Build, index: number): Block {
  const side = (axis: 0 | 1 | 2, label: string): Span =>
    editable(build, `machines.${index}.bedMm.${axis}`, { label, unit: 'mm', digits: 0, step: 5 });
  return say(
    index === 0 ? 'Every piece must lie within the bed of ' : 'or of ',
    build.machines.length === 1 ? 'the machine' : term(machineWords(build, index)),
    ': ',
    side(0, 'Bed width'),
    ' wide, ',
    side(1, 'Bed depth'),
    ' deep and ',
    side(2, 'Bed height'),
    ' high',
    index === build.machines.length - 1 ? '.' : ',',
  );
}

function marginSentence(build: Build): Block {
  return say(
    'On every side ',
    editable(build, 'pieces.marginMm', { label: 'Margin', unit: 'mm', digits: 1, step: 1 }),
    ' are kept clear. No piece is left narrower than ',
    editable(build, 'pieces.leastSectionMm', { label: 'Narrowest piece', unit: 'mm', digits: 1, step: 1 }),
    ', and there may be no more than ',
    editable(build, 'pieces.mostPieces', { label: 'Most pieces', unit: 'count', digits: 0, step: 1 }),
    ' pieces.',
  );
}

function pieceTable(build: Build, record: PiecesRecord, wearer: WearerRecord): Block {
  const several = build.machines.length > 1;
  return {
    b: 'table',
    caption: 'Pieces, from top to foot',
    columns: [
      { head: 'Piece', align: 'start' },
      { head: 'Where', align: 'start' },
      { head: 'Size as worn', align: 'end' },
      { head: 'Material', align: 'end' },
      ...(several ? [{ head: 'Prints on', align: 'start' } as const] : []),
    ],
    rows: record.pieces.map((piece) => [
      [term(piece.id)],
      [text(piece.name)],
      piece.sizeMm.flatMap((side, index) => [...(index === 0 ? [] : [text(' × ')]), quantity(side, 'mm', 0)]),
      [quantity(piece.volumeMm3, 'mm3', 1)],
      ...(several ? [[machineOfPiece(build, piece, wearer)]] : []),
    ]),
  };
}
