// Directions spread evenly over half the sphere: the normals that a search over planes tries.
import type { Vec3 } from '../mesh/mesh.ts';

/** The vertices of an octahedron subdivided `levels` times and pushed onto the sphere, one of each opposite pair: 3, 9, 33, 129
 *  directions for levels 0 to 3. The set holds the three axes, starts with them, and is its own mirror image in each axis plane;
 *  its first half, with the one in the middle, is so too.
 *  Of a pair, the one kept has z > 0, then y > 0, then x > 0. Source: methods of planar partitioning use level 3 (129 normals). */
export function evenDirections(levels: number): Vec3[] {
  const cells = 2 ** levels;
  const out: Vec3[] = [
    [0, 0, 1],
    [1, 0, 0],
    [0, 1, 0],
  ];
  const others: Vec3[] = [];
  for (let i = -cells; i <= cells; i++) {
    for (let j = -cells; j <= cells; j++) {
      const k = cells - Math.abs(i) - Math.abs(j);
      if (k < 0) continue;
      if (k === 0 && (j < 0 || (j === 0 && i < 0))) continue;
      if (isAxis(i, j, k)) continue;
      const length = Math.hypot(i, j, k);
      ((i + j) % 2 === 0 ? out : others).push([i / length, j / length, k / length]);
    }
  }
  return [...out, ...others];
}

function isAxis(i: number, j: number, k: number): boolean {
  return (i === 0 ? 1 : 0) + (j === 0 ? 1 : 0) + (k === 0 ? 1 : 0) === 2;
}
