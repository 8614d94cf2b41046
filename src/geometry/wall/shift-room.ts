// How far a vertex of the inner surface may go before it meets something.
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { raycastMany } from '../../mesh/ray.ts';

export const ROOM_DEFAULTS = {
  /** Share of the wall that may be taken away. */
  ofWall: 0.7,
  /** Share of the hollow before it that a vertex may take: what lies opposite may come as far. */
  ofHollow: 0.4,
} as const;

/** Shortens `alongMm` (numVerts; positive into the wall, negative into the hollow) of the free vertices in place. inward: numVerts x 3, unit.
 *  Space: that of the mesh. Cost: a short ray for each vertex that goes into the hollow. */
export function shiftRoom(
  tree: BoundingTree,
  { positions }: Mesh,
  at: {
    readonly free: Uint8Array;
    readonly inward: Float64Array;
    readonly alongMm: Float64Array;
    readonly wallMm: Float64Array;
  },
): void {
  const { free, inward, alongMm, wallMm } = at;
  const ray = new Float64Array(6);
  const out = { tri: new Int32Array(1), t: new Float64Array(1) };
  const rule = { from: 0, to: 0 };
  for (let v = 0; v < free.length; v++) {
    if (free[v] === 0 || alongMm[v] === 0) continue;
    if (alongMm[v]! > 0) {
      if (wallMm[v]! > 0) alongMm[v] = Math.min(alongMm[v]!, ROOM_DEFAULTS.ofWall * wallMm[v]!);
      continue;
    }
    for (let c = 0; c < 3; c++) {
      ray[c] = positions[v * 3 + c]!;
      ray[3 + c] = -inward[v * 3 + c]!;
    }
    rule.from = -0.05 * alongMm[v]!;
    rule.to = -alongMm[v]! / ROOM_DEFAULTS.ofHollow;
    raycastMany(tree, ray, out, rule);
    if (out.t[0]! < Infinity) alongMm[v] = Math.max(alongMm[v]!, -ROOM_DEFAULTS.ofHollow * out.t[0]!);
  }
}
