// The shortest way through the solid within a narrow cone about the inward normal.
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { raycastMany } from '../../mesh/ray.ts';

export const CONE_DEFAULTS = {
  /** Half angle: a slanting ray through a slab is longer than the wall by 1 / cos(15 degrees) - 1 = 3.5 percent at most. */
  halfAngleDeg: 15,
  /** Rays round the axis, which has one too. */
  numAround: 6,
} as const;

/** Room for one cone at a time. */
export interface ConeSearch {
  readonly tree: BoundingTree;
  readonly ray: Float64Array;
  readonly out: { readonly tri: Int32Array; readonly t: Float64Array };
  readonly rule: { from: number; to: number; skipTris: Int32Array };
}

export function coneSearch(tree: BoundingTree, fromMm: number): ConeSearch {
  return {
    tree,
    ray: new Float64Array(6),
    out: { tri: new Int32Array(1), t: new Float64Array(1) },
    rule: { from: fromMm, to: Infinity, skipTris: new Int32Array(1) },
  };
}

const OUTWARD = Math.sin((CONE_DEFAULTS.halfAngleDeg * Math.PI) / 180);
const ALONG = Math.cos((CONE_DEFAULTS.halfAngleDeg * Math.PI) / 180);

/** Least distance along the rays, Infinity when none meets anything. at: 9 numbers, the point, the unit normal into the solid and a
 *  unit vector across it, which turns the ring of rays with the surface. `skipTri` does not count. Cost: seven rays, the later ones
 *  looking no farther than the best so far. Weak: beside a convex edge slanting rays leave through the other face. */
export function narrowCone(search: ConeSearch, at: Float64Array, skipTri: number): number {
  const { ray, rule, out, tree } = search;
  rule.skipTris[0] = skipTri;
  rule.to = Infinity;
  for (let c = 0; c < 3; c++) {
    ray[c] = at[c]!;
    ray[3 + c] = at[3 + c]!;
  }
  raycastMany(tree, ray, out, rule);
  let least = out.t[0]!;
  for (let i = 0; i < CONE_DEFAULTS.numAround; i++) {
    const angle = (2 * Math.PI * i) / CONE_DEFAULTS.numAround;
    const u = OUTWARD * Math.cos(angle);
    const v = OUTWARD * Math.sin(angle);
    for (let c = 0; c < 3; c++) {
      const [d, e] = [(c + 1) % 3, (c + 2) % 3];
      const across = at[3 + d]! * at[6 + e]! - at[3 + e]! * at[6 + d]!;
      ray[3 + c] = ALONG * at[3 + c]! + u * at[6 + c]! + v * across;
    }
    rule.to = least;
    raycastMany(tree, ray, out, rule);
    if (out.t[0]! < least) least = out.t[0]!;
  }
  return least;
}
