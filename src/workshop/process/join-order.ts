// In which order pieces become one: the cuts backwards, one group onto another at a time.
import { invariant } from '../../base/invariant.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Join } from './joints-record.ts';
import type { Piece, Seam } from './pieces-record.ts';

type OrderedPiece = Pick<Piece, 'id' | 'volumeMm3'>;
type OrderedSeam = Pick<Seam, 'id' | 'pieces' | 'cut' | 'plane'>;

/** The joins that make all pieces one, the last cut first: what a cut parted is whole before the cut itself closes. Within a cut, groups that
 *  its seams link grow out of the largest one, a group at a time, so that each one lies wholly on one side of the plane and closes along
 *  its normal; the smaller of the two by volume moves. Pieces that no seam links stay apart. Space: that of the planes.
 *  Cost: O(joins x seams). Method: the division is a tree of cuts; docs/methods/assembly-order.md. */
export function joinOrder(pieces: readonly OrderedPiece[], seams: readonly OrderedSeam[]): Join[] {
  const groupOf = new Map<string, Group>(pieces.map(({ id, volumeMm3 }) => [id, { pieces: [id], volumeMm3 }]));
  const joins: Join[] = [];
  const cuts = [...new Set(seams.map(({ cut }) => cut))].sort((one, other) => other - one);
  for (const cut of cuts) {
    const open = seams.filter((seam) => seam.cut === cut);
    for (let grown: Group | null = null; ; ) {
      const linking = open.filter(({ pieces: [low, high] }) => groupOf.get(low) !== groupOf.get(high));
      if (linking.length === 0) break;
      grown = nextBase(linking, groupOf, grown);
      const other = largestBeside(grown, linking, groupOf);
      const [onto, moving] = other.volumeMm3 > grown.volumeMm3 ? [other, grown] : [grown, other];
      const closing = linking.filter((seam) =>
        sidesOf(seam, groupOf).every((side) => side === onto || side === moving),
      );
      joins.push(joinOf(onto, moving, closing));
      grown = { pieces: [...onto.pieces, ...moving.pieces], volumeMm3: onto.volumeMm3 + moving.volumeMm3 };
      for (const id of grown.pieces) groupOf.set(id, grown);
    }
  }
  return joins;
}

interface Group {
  readonly pieces: readonly string[];
  readonly volumeMm3: number;
}

type Groups = ReadonlyMap<string, Group>;

/** The group that grew last, as long as something is left to join to it; then the largest. */
function nextBase(linking: readonly OrderedSeam[], groupOf: Groups, grown: Group | null): Group {
  const linked = linking.flatMap((seam) => sidesOf(seam, groupOf));
  return grown !== null && linked.includes(grown) ? grown : largest(linked);
}

function largestBeside(group: Group, linking: readonly OrderedSeam[], groupOf: Groups): Group {
  const beside = linking.map((seam) => sidesOf(seam, groupOf)).filter((sides) => sides.includes(group));
  return largest(beside.flat().filter((side) => side !== group));
}

/** The first of the largest. */
function largest(groups: readonly Group[]): Group {
  return groups.reduce((most, group) => (group.volumeMm3 > most.volumeMm3 ? group : most));
}

function sidesOf({ pieces: [low, high] }: OrderedSeam, groupOf: Groups): [Group, Group] {
  const [below, above] = [groupOf.get(low), groupOf.get(high)];
  invariant(
    below !== undefined && above !== undefined,
    `the seam between ${low} and ${high} joins pieces that are there`,
  );
  return [below, above];
}

function joinOf(onto: Group, moving: Group, closing: readonly OrderedSeam[]): Join {
  const { pieces, plane } = closing[0]!;
  const sign = moving.pieces.includes(pieces[0]) ? 1 : -1;
  const towards: Vec3 = [0 + sign * plane.normal[0], 0 + sign * plane.normal[1], 0 + sign * plane.normal[2]];
  return { moving: moving.pieces, onto: onto.pieces, towards, seams: closing.map(({ id }) => id) };
}
