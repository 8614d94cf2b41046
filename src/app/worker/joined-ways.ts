// How far each piece is drawn out along the ways by which the pieces are joined, all joins undone: for figure and drawing.
import { dot } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Join } from '../../workshop/process/joints-record.ts';
import type { Seam } from '../../workshop/process/pieces-record.ts';

export interface JoinedWay {
  /** From its place, model space, mm. */
  readonly shiftMm: Vec3;
  /** The joins in which it moves, by their place in the order, from 1. */
  readonly joins: readonly number[];
}

/** Every moving group goes back along its way until it stands `clearMm` beyond the pieces that it meets, drawn out as they are. The way of
 *  a piece is the sum over the joins in which it moves, so any share of it keeps the pieces on their ways to each other.
 *  Pieces that no join names are left out. Cost: O(joins x pieces). */
export function joinedWays(
  order: readonly Join[],
  seams: readonly Pick<Seam, 'id' | 'pieces'>[],
  clearMm: number,
): ReadonlyMap<string, JoinedWay> {
  const ways = new Map<string, JoinedWay>();
  for (const id of order.flatMap(({ moving, onto }) => [...moving, ...onto]))
    ways.set(id, { shiftMm: [0, 0, 0], joins: [] });
  for (const [index, join] of order.entries()) {
    const back: Vec3 = [-join.towards[0], -join.towards[1], -join.towards[2]];
    const meeting = new Set(seams.filter(({ id }) => join.seams.includes(id)).flatMap(({ pieces }) => pieces));
    const out = (ids: readonly string[]): number[] =>
      ids.filter((id) => meeting.has(id)).map((id) => dot(back, ways.get(id)!.shiftMm));
    const mm = clearMm + Math.max(0, ...out(join.onto)) - Math.min(0, ...out(join.moving));
    for (const id of join.moving) {
      const { shiftMm, joins } = ways.get(id)!;
      ways.set(id, {
        shiftMm: shiftMm.map((c, axis) => c + mm * back[axis as 0 | 1 | 2]) as unknown as Vec3,
        joins: [...joins, index + 1],
      });
    }
  }
  return ways;
}

/** The two points of a seam that lie far from each other: where a way begins. */
export function farPoints(outlines: readonly Float32Array[]): readonly Vec3[] {
  const points = outlines.flatMap((loop) =>
    Array.from({ length: loop.length / 3 }, (_, i): Vec3 => [loop[3 * i]!, loop[3 * i + 1]!, loop[3 * i + 2]!]),
  );
  if (points.length === 0) return [];
  const farFrom = (from: Vec3): Vec3 => points.reduce((best, p) => (away(p, from) > away(best, from) ? p : best), from);
  const one = farFrom(points[0]!);
  return [one, farFrom(one)];
}

function away(a: Vec3, b: Vec3): number {
  return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2;
}
