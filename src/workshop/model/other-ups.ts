// The other ways that could be up, for the maker to choose from.
import { angleDeg, scaled } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Clues, Levelling } from './level.ts';

/** Directions closer than this are the same to a maker who chooses one and then turns it. */
const ALIKE_DEG = 12;
const MOST = 8;

/** Unit directions of the file, the likeliest first, without the one taken: against each opening that a head could go in by,
 *  upside down, the axes of the file, and the ways the body could stand. */
export function otherUps(clues: Clues, level: Levelling): readonly Vec3[] {
  const ways: Vec3[] = [
    ...clues.necks.map((neck) => scaled(neck.gap.outward, -1)),
    scaled(level.up.way, -1),
    ...AXES,
    ...clues.standing.slice(0, 4),
  ];
  const out: Vec3[] = [];
  for (const way of ways) {
    if ([level.up.way, ...out].some((known) => angleDeg(known, way) < ALIKE_DEG)) continue;
    out.push(way);
    if (out.length === MOST) break;
  }
  return out;
}

const AXES: readonly Vec3[] = [
  [0, 0, 1],
  [0, 1, 0],
  [1, 0, 0],
  [0, 0, -1],
  [0, -1, 0],
  [-1, 0, 0],
];
