// Writes how each piece may lie: a choice among its best poses in one sentence, what each of them takes in a table, and wishes that cannot be met.
import { scaled } from '../../geometry/three-by-three.ts';
import { SURE_FOOT_MM2 } from '../facts/footing.ts';
import type { AskedPose } from '../process/asked-poses.ts';
import type { Piece, PiecesRecord } from '../process/pieces-record.ts';
import type { LyingPose, Print, PrintingRecord } from '../process/printing-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { followsOf } from './editable.ts';
import { poseWords } from './pose-words.ts';
import { offer, quantity, say, term, text } from './spans.ts';
import { remove } from './write-asked.ts';

const ASKED = 'poses.asked';
const BY_SCORE = 'as it prints best';

/** One sentence for all pieces, and a table with a row for each of their poses. `scale`: worn over unscaled. */
export function poseBlocks(
  build: Build,
  pieces: PiecesRecord,
  printing: PrintingRecord,
  scale: number,
): readonly Block[] {
  const laid = printing.prints.flatMap((print) => {
    const piece = pieces.pieces.find(({ id }) => id === print.piece);
    const named = (pose: LyingPose): string => poseWords(print.piece, pose, pieces.seams);
    return piece === undefined || print.poses.length === 0 ? [] : [{ piece, print, named, scale }];
  });
  if (laid.length === 0) return wishesUnmet(build, printing);
  return [
    offer(
      'Each lies as you choose: ',
      ...laid.flatMap((one, i) => [
        i === 0 ? '' : i === laid.length - 1 ? ' and ' : ', ',
        term(one.piece.id),
        ' ',
        poseChoice(build, one),
      ]),
      '.',
    ),
    {
      b: 'table',
      caption:
        'How each piece lies, or may lie, and what it stands on; left and right are the wearer’s, scars and terraces those that show',
      columns: [
        { head: 'Piece', align: 'start' },
        { head: 'Time', align: 'end' },
        { head: 'Support', align: 'end' },
        { head: 'Scars', align: 'end' },
        { head: 'Terraces', align: 'end' },
        { head: 'On', align: 'start' },
      ],
      rows: laid.flatMap(({ print, named }) =>
        print.poses.map((pose, i) => [
          i === 0
            ? [term(print.piece), text(` ${named(pose)}${print.asked === null ? '' : ', as you asked'}`)]
            : [text(`or ${named(pose)}`)],
          [quantity(pose.printS, 's')],
          [quantity(pose.supportG, 'g')],
          [quantity(pose.heldShownMm2, 'mm2')],
          [quantity(pose.terracesMm2, 'mm2')],
          [text(standsOn(pose))],
        ]),
      ),
    },
    ...wishesUnmet(build, printing),
  ];
}

/** Less of its own plastic on the bed than this is none, mm2. */
const NO_FOOT_MM2 = 40;

function standsOn({ ownFootMm2, footMm2 }: LyingPose): string {
  if (ownFootMm2 >= SURE_FOOT_MM2) return 'its foot';
  return ownFootMm2 < NO_FOOT_MM2 && footMm2 > ownFootMm2 ? 'support' : 'a small foot';
}

function poseChoice(
  build: Build,
  of: {
    readonly piece: Piece;
    readonly print: Print;
    readonly named: (pose: LyingPose) => string;
    /** Worn over unscaled. */
    readonly scale: number;
  },
): Span {
  const { piece, print, named, scale } = of;
  const asked = print.asked === null ? null : (build.poses.asked[print.asked] ?? null);
  const [x, y, z] = scaled(piece.mark.atMm, 1 / scale);
  const options = print.poses.map((pose, index) => {
    const wish: AskedPose = {
      name: piece.id,
      atMm: [rounded(x, 3), rounded(y, 3), rounded(z, 3)],
      up: [rounded(pose.up[0], 9), rounded(pose.up[1], 9), rounded(pose.up[2], 9)],
    };
    return { entry: JSON.stringify(index === 0 && asked !== null ? asked : wish), label: named(pose) };
  });
  return {
    s: 'entry',
    path: ASKED,
    label: `How ${piece.id} lies`,
    options: [{ entry: null, label: BY_SCORE }, ...options],
    value: asked === null ? null : JSON.stringify(asked),
    follows: followsOf(ASKED),
  };
}

/** Wishes that no print lies by can be taken back, one sentence each. */
function wishesUnmet({ poses: { asked } }: Build, { prints }: PrintingRecord): readonly Block[] {
  return asked.flatMap(({ name }, index) => {
    if (prints.some((print) => print.asked === index)) return [];
    const wish = name === '' ? 'a pose' : `a pose of ${name}`;
    return [
      say(
        `You asked for ${wish} in which no piece lies now. `,
        remove(ASKED, asked, { index, label: wish, says: 'Forget it' }),
      ),
    ];
  });
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}
