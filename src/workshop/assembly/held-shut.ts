// Joints that are to come apart, between pieces that other, glued seams hold together.
import { invariant } from '../../base/invariant.ts';
import type { SeamGluing } from '../process/assembly-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';

export interface HeldShut {
  readonly seam: string;
  /** The fewest glued seams that lead from one of its pieces to the other. */
  readonly by: readonly string[];
}

/** Breadth first over the glued seams. Cost: O(removable seams x seams). */
export function heldShut(
  gluings: readonly Pick<SeamGluing, 'seam' | 'stays'>[],
  { seams }: Pick<PiecesRecord, 'seams'>,
): readonly HeldShut[] {
  const staysOf = new Map(gluings.map(({ seam, stays }) => [seam, stays]));
  const glued = seams.filter(({ id }) => staysOf.get(id) === 'glued');
  return seams.flatMap(({ id, pieces: [from, to] }): HeldShut[] => {
    if (staysOf.get(id) !== 'removable') return [];
    const by = wayBetween(from, to, glued);
    return by === null ? [] : [{ seam: id, by }];
  });
}

function wayBetween(
  from: string,
  to: string,
  glued: readonly { readonly id: string; readonly pieces: readonly [string, string] }[],
): readonly string[] | null {
  const ways = new Map<string, readonly string[]>([[from, []]]);
  const open = [from];
  for (let piece = open.shift(); piece !== undefined; piece = open.shift()) {
    const way = ways.get(piece);
    invariant(way !== undefined, 'a piece that was reached has its way');
    if (piece === to) return way;
    for (const { id, pieces } of glued) {
      if (!pieces.includes(piece)) continue;
      const next = pieces[0] === piece ? pieces[1] : pieces[0];
      if (ways.has(next)) continue;
      ways.set(next, [...way, id]);
      open.push(next);
    }
  }
  return null;
}
