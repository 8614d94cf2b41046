// Plates, pipes and bowls of known wall, cut in two: what joints are tried on.
import type { Plane } from '../../../src/geometry/plane.ts';
import { bowl, box, tube } from '../../../src/mesh/builders.ts';
import { type CutShell, cutInTwo } from './cut-sections.ts';

/** 120 x 80 mm, lying; its underside is the inside. Cut across its length. */
export function cutPlate(wallMm: number): CutShell {
  return cutInTwo(
    box([-60, -40, 0], [60, 40, wallMm]),
    { normal: [1, 0, 0], offsetMm: 0.3 },
    ([, , z], n) => !(z < 1e-6 && n[2] < 0),
  );
}

/** 120 mm across and high, standing, open at both ends. Cut across, or along. */
export function cutPipe(wallMm: number, plane: Plane = { normal: [0, 0, 1], offsetMm: 60.3 }): CutShell {
  const shell = tube({ outerMm: 60, wallMm, heightMm: 120 }, 96, 8);
  return cutInTwo(shell, plane, ([x, y, z]) => Math.hypot(x, y) > 60 - wallMm / 2 || Math.abs(z - 60) > 59.9);
}

/** Half a ball of 160 mm, opening down. Cut by a level plane above its rim, where its wall leans. */
export function cutBowl(wallMm: number, plane: Plane = { normal: [0, 0, 1], offsetMm: 28.3 }): CutShell {
  const shell = bowl({ outerMm: 80, wallMm }, 20);
  return cutInTwo(shell, plane, ([x, y, z]) => Math.hypot(x, y, z) > 80 - wallMm / 2 || z < 0.01);
}
