// Says how true the seams sit by their keys: the largest misfit, seams that others lead, seams that are hardly led.
import { type Joint, type JointsRecord, LOOSE_MM, TRUE_MM } from '../process/joints-record.ts';
import type { Block } from './book-text.ts';
import { misfit, seamsTerm } from './joint-words.ts';
import { quantity, say, term } from './spans.ts';

/** The largest misfit of all seams, with where, those that others lead, and those that are hardly led at all; the others stand in the table. */
export function playSentences({ joints }: JointsRecord): readonly Block[] {
  const played = joints.flatMap(({ seam, play }) => (play === null ? [] : [{ seam, ...play }]));
  if (played.length === 0) return [];
  const far = played.filter(({ nominalMm }) => nominalMm >= LOOSE_MM);
  const near = played.filter(({ nominalMm }) => nominalMm < LOOSE_MM);
  const free = played.filter(({ held }) => !held);
  return [
    ...(near.length === 0 ? [] : [nearSentence(near, far.length > 0 ? 'no other seam' : 'no seam')]),
    ...ledSentence(joints),
    ...(far.length === 0
      ? []
      : [
          say(
            seamsTerm(far),
            far.length === 1 ? ' is' : ' are',
            ' hardly led: the pieces can lie ',
            quantity(LOOSE_MM, 'mm', 0),
            ' off or more. Align ',
            far.length === 1 ? 'it' : 'them',
            ' by eye and by the seams beside.',
          ),
        ]),
    ...(free.length === 0
      ? []
      : [
          say(
            seamsTerm(free),
            ` can still move in another way than the one in which ${free.length === 1 ? 'it opens' : 'they open'}: hold by hand.`,
          ),
        ]),
  ];
}

/** Seams that are true only because others close with them. */
function ledSentence(joints: readonly Joint[]): readonly Block[] {
  const isTrue = ({ play }: Joint): boolean => (play?.nominalMm ?? LOOSE_MM) <= TRUE_MM;
  const led = joints.filter((joint) => isTrue(joint) && (joint.aloneMm === null || joint.aloneMm > TRUE_MM));
  if (led.length === 0) return [];
  const isOne = led.length === 1;
  return [
    say(
      seamsTerm(led),
      isOne ? ' lies' : ' lie',
      ' true by the keys of the seams that close at the same time, not by ',
      isOne ? 'its' : 'their',
      ' own: close a join along all of its seams at once, and run a thumb along ',
      isOne ? 'this one' : 'these',
      ' last.',
    ),
  ];
}

interface Played {
  readonly seam: string;
  readonly nominalMm: number;
  readonly printedMm: number;
}

function nearSentence(near: readonly Played[], who: string): Block {
  const worst = near.reduce((one, other) => (other.nominalMm > one.nominalMm ? other : one));
  const most = near.reduce((one, other) => (other.printedMm > one.printedMm ? other : one));
  return say(
    `The clearances let ${who} sit further off at its outer edge than `,
    quantity(worst.nominalMm, 'mm', 2),
    ' (',
    term(worst.seam),
    ') as drawn, and ',
    ...misfit(most.printedMm),
    ' (',
    term(most.seam),
    ') if every face prints off the worse way.',
  );
}
