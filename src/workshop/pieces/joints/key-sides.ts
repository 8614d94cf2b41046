// Which piece carries the keys of each seam, chosen together with how the pieces lie: nothing protrudes below a face that prints down.
import { dot } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { downIn, MOST_DOWN } from '../../process/key-reach.ts';
import type { FittingPose, Piece, Seam } from '../../process/pieces-record.ts';

/** Who may carry what protrudes from a seam's face: both by turns, only the first or the second of its pieces, or neither: then what
 *  registers is loose. */
export type KeySide = 'both' | 'first' | 'second' | 'neither';

export interface KeySides {
  /** One a seam. */
  readonly sides: readonly KeySide[];
  /** Per piece: the way that is down in the pose they were chosen for, model space. */
  readonly downs: readonly Vec3[];
}

/** What one place further down a piece's list of poses counts, and what a seam counts by who carries its keys. In one unit: a pose a place
 *  worse. Keys on both sides are thinnest; a pocket over each is bulk; a loose part is one more to print and glue, and lies twice its clearance off. */
const SIDE_COST: Readonly<Record<KeySide, number>> = { both: 0, first: 1, second: 1, neither: 9 };
const MOST_POSES = 6;
const MOST_ROUNDS = 20;

/** Starts from each piece's best pose and changes one pose at a time as long as that is cheaper; ties keep the better pose.
 *  isBanned: pieces that must carry nothing on a seam, because with it they would fit no bed. dearer: what a side costs besides, where keys so
 *  carried turned out not to hold a seam true. Cost: rounds x poses x seams. */
export function keySides(
  pieces: readonly Pick<Piece, 'id' | 'poses'>[],
  seams: readonly Pick<Seam, 'pieces' | 'plane'>[],
  isBanned: (seam: number, piece: string) => boolean,
  dearer: (seam: number, side: KeySide) => number = () => 0,
): KeySides {
  const downsOf = pieces.map(({ poses }) => distinctDowns(poses));
  const chosen = pieces.map(() => 0);
  const index = new Map(pieces.map(({ id }, i) => [id, i]));
  const downOf = (piece: string): Vec3 => {
    const i = index.get(piece)!;
    return downsOf[i]![chosen[i]!]!;
  };
  const sideOf = (seam: number): KeySide => {
    const { pieces: pair, plane } = seams[seam]!;
    const free = pair.map((id, i) => {
      const out = i === 0 ? 1 : -1;
      return !isBanned(seam, id) && out * dot(downOf(id), plane.normal) < MOST_DOWN;
    });
    if (free[0]) return free[1] ? 'both' : 'first';
    return free[1] ? 'second' : 'neither';
  };
  const cost = (): number =>
    seams.reduce((sum, _, s) => sum + SIDE_COST[sideOf(s)] + dearer(s, sideOf(s)), 0) +
    chosen.reduce((sum, k) => sum + k, 0);
  let least = cost();
  for (let round = 0, changed = true; changed && round < MOST_ROUNDS; round++) {
    changed = false;
    for (let i = 0; i < pieces.length; i++) {
      const kept = chosen[i]!;
      let best = kept;
      for (let k = 0; k < downsOf[i]!.length; k++) {
        chosen[i] = k;
        const now = cost();
        if (now < least) {
          least = now;
          best = k;
        }
      }
      chosen[i] = best;
      changed ||= best !== kept;
    }
  }
  return { sides: seams.map((_, s) => sideOf(s)), downs: downsOf.map((list, i) => list[chosen[i]!]!) };
}

/** The poses' ways down, best first, each once. */
function distinctDowns(poses: readonly FittingPose[]): readonly Vec3[] {
  const out: Vec3[] = [];
  for (const { toLaid } of poses) {
    const down = downIn(toLaid);
    if (out.length < MOST_POSES && !out.some((known) => dot(known, down) > 0.9998)) out.push(down);
  }
  return out;
}
