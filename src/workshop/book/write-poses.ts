// Writes how each piece may lie: its best three poses with what each takes, a choice among them, and wishes that cannot be met.
import { scaled } from '../../geometry/three-by-three.ts';
import type { AskedPose } from '../process/asked-poses.ts';
import type { Piece, PiecesRecord } from '../process/pieces-record.ts';
import type { LyingPose, Print, PrintingRecord } from '../process/printing-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { followsOf } from './editable.ts';
import { poseWords } from './pose-words.ts';
import { quantity, say, term, text } from './spans.ts';
import { remove } from './write-asked.ts';

const ASKED = 'poses.asked';
const BY_SCORE = 'as it prints best';

/** One sentence or two a piece: how it lies and what that takes, and what the others would. `scale`: worn over unscaled. */
export function poseSentences(
  build: Build,
  pieces: PiecesRecord,
  printing: PrintingRecord,
  scale: number,
): readonly Block[] {
  return [
    ...printing.prints.flatMap((print): Block[] => {
      const piece = pieces.pieces.find(({ id }) => id === print.piece);
      const [first, ...others] = print.poses;
      if (piece === undefined || first === undefined) return [];
      const named = (pose: LyingPose): string => poseWords(print.piece, pose, pieces.seams);
      return [
        say(
          term(print.piece),
          ' lies ',
          poseChoice(build, { piece, print, named, scale }),
          ...(print.asked === null ? [`, ${named(first)}`] : []),
          ': ',
          ...taken(first),
          '.',
          ...others.flatMap((other) => [` Lying ${named(other)} `, ...tradeOff(first, other), '.']),
        ),
      ];
    }),
    ...wishesUnmet(build, printing),
  ];
}

function poseChoice(
  build: Build,
  of: {
    readonly piece: Piece;
    readonly print: Print;
    readonly named: (pose: LyingPose) => string;
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

/** "7 h, 3 g of support, with 2 cm2 of scars and 5 cm2 of terraces where it shows". */
function taken({ printS, supportG, heldShownMm2, terracesMm2 }: LyingPose): readonly (Span | string)[] {
  const shown = [
    ...(heldShownMm2 >= TOLD_MM2 ? [[quantity(heldShownMm2, 'mm2'), text(' of scars')]] : []),
    ...(terracesMm2 >= TOLD_MM2 ? [[quantity(terracesMm2, 'mm2'), text(' of terraces')]] : []),
  ];
  return [
    quantity(printS, 's'),
    ' and ',
    ...(supportG < TOLD_G ? ['no support'] : [quantity(supportG, 'g'), ' of support']),
    ...(shown.length === 0
      ? [', without scars or terraces where it shows']
      : [
          ', with ',
          ...shown.flatMap((spans, i) => [...(i === 0 ? [] : [text(' and ')]), ...spans]),
          ' where it shows',
        ]),
  ];
}

/** Differences smaller than this are not told. */
const TOLD_S = 300;
const TOLD_SHARE = 0.02;
const TOLD_G = 0.5;
const TOLD_MM2 = 50;
/** Poses that stand less firmly than the first by so much of their time again are said to. */
const TOLD_RISK = 0.05;

/** "takes 1 h longer, but 3 g less support and 4 cm2 fewer scars where it shows". */
function tradeOff(first: LyingPose, other: LyingPose): readonly (Span | string)[] {
  const worse: (readonly (Span | string)[])[] = [];
  const better: (readonly (Span | string)[])[] = [];
  const told = (more: number, amount: Span, words: readonly [more: string, less: string]): void => {
    (more > 0 ? worse : better).push([amount, words[more > 0 ? 0 : 1]]);
  };
  const seconds = other.printS - first.printS;
  if (Math.abs(seconds) > Math.max(TOLD_S, TOLD_SHARE * first.printS))
    told(seconds, quantity(Math.abs(seconds), 's'), [' more', ' less']);
  const grams = other.supportG - first.supportG;
  if (Math.abs(grams) > TOLD_G) told(grams, quantity(Math.abs(grams), 'g'), [' more support', ' less support']);
  const scars = other.heldShownMm2 - first.heldShownMm2;
  if (Math.abs(scars) > TOLD_MM2)
    told(scars, quantity(Math.abs(scars), 'mm2'), [' more scars where it shows', ' fewer scars where it shows']);
  const terraces = other.terracesMm2 - first.terracesMm2;
  if (Math.abs(terraces) > TOLD_MM2)
    told(terraces, quantity(Math.abs(terraces), 'mm2'), [' more terraces', ' fewer terraces']);
  const firm = other.riskShare - first.riskShare;
  if (Math.abs(firm) > TOLD_RISK) (firm > 0 ? worse : better).push([firm > 0 ? 'a less firm stand' : 'a firmer stand']);
  if (worse.length + better.length === 0) return ['takes about the same'];
  return [
    ...(worse.length > 0 ? ['takes ', ...listed(worse)] : []),
    ...(better.length > 0 ? [worse.length > 0 ? ', but ' : 'takes ', ...listed(better)] : []),
  ];
}

function listed(parts: readonly (readonly (Span | string)[])[]): readonly (Span | string)[] {
  return parts.flatMap((part, i) => [...(i === 0 ? [] : [i === parts.length - 1 ? ' and ' : ', ']), ...part]);
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
