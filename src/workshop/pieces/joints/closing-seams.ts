// Which seams close at the same time, and how true each is then: keys of one seam lead the others that close with it.
import type { Join, JointPlay } from '../../process/joints-record.ts';
import type { Seam } from '../../process/pieces-record.ts';
import { jointPlay, type KeyedSeam } from './joint-play.ts';

/** Per seam, in their order: the places of all that close with it, its own included. */
export function closingSeams(
  seams: readonly Pick<Seam, 'id'>[],
  order: readonly Join[],
): readonly (readonly number[])[] {
  return seams.map(({ id }, own) => {
    const join = order.find((one) => one.seams.includes(id));
    return join === undefined ? [own] : join.seams.map((other) => seams.findIndex((seam) => seam.id === other));
  });
}

/** The play of each seam when all that close with it are pressed shut together; null where none of them has a key. Cost: jointPlay a seam, with
 *  the contacts of all that close with it. Space: worn. */
export function playTogether(
  built: readonly KeyedSeam[],
  closing: readonly (readonly number[])[],
  options: { readonly toleranceMm: number },
): readonly (JointPlay | null)[] {
  return built.map(({ section }, s) =>
    jointPlay(
      closing[s]!.map((other) => built[other]!),
      section,
      options,
    ),
  );
}
