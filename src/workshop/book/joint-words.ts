// What the kinds of joint are called: what a seam is told to have, what the maker chooses from, what a row counts.
import { listed } from '../../base/listed.ts';
import { type JointKind, LOOSE_MM } from '../process/joints-record.ts';
import type { Span } from './book-text.ts';
import { quantity, term, text } from './spans.ts';

export interface KindWords {
  readonly one: string;
  readonly many: string;
  /** What they are, once for all seams that have them. */
  readonly are: string;
}

export const KIND_WORDS: Readonly<Record<JointKind, KindWords>> = {
  tabs: { one: 'tab', many: 'tabs', are: 'tabs on the inside, against the wall of the other piece' },
  laps: { one: 'lap', many: 'laps', are: 'laps, sunk into the wall of the other piece' },
  strips: { one: 'splice', many: 'splices', are: 'loose splices, glued into seats of both pieces' },
  pins: { one: 'pin', many: 'pins', are: 'pins in sockets' },
  rods: { one: 'rod', many: 'rods', are: 'lengths of rod in holes of both pieces' },
  magnets: { one: 'magnet pair', many: 'magnet pairs', are: 'pairs of magnets, and can be taken apart again' },
  screws: { one: 'screw', many: 'screws', are: 'screws in bosses on the inside, and can be taken apart again' },
  none: { one: 'key', many: 'keys', are: 'no keys: they are aligned by eye, and held while the glue sets' },
};

/** In the order in which they are offered: glued ones from thin walls to thick, then those that come apart, then none. */
export const JOINT_KINDS: readonly JointKind[] = [
  'tabs',
  'laps',
  'strips',
  'pins',
  'rods',
  'magnets',
  'screws',
  'none',
];

/** "magnets", "splices", "no keys": as something that is asked for. */
export function askedKindWords(kind: JointKind): string {
  if (kind === 'none') return 'no keys';
  return kind === 'magnets' ? 'magnets' : KIND_WORDS[kind].many;
}

/** "3 tabs", "1 magnet pair", "none". */
export function keysCounted(kind: JointKind, count: number): string {
  const { one, many } = KIND_WORDS[kind];
  return count === 0 ? 'none' : `${count} ${count === 1 ? one : many}`;
}

/** From so much on the keys have left their places, and it is not reckoned further. */
export function misfit(mm: number): readonly Span[] {
  return mm >= LOOSE_MM ? [text('over '), quantity(LOOSE_MM, 'mm', 0)] : [quantity(mm, 'mm', 2)];
}

/** "A-B, A-C and B-D". */
export function seamsTerm(joints: readonly { readonly seam: string }[]): Span {
  return term(listed(joints.map(({ seam }) => seam)));
}
