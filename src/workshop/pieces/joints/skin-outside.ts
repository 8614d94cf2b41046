// How much wall is left outside of what was cut for keys: too little shows, or breaks through.
import { triangleGap } from '../../../geometry/triangle-gap.ts';
import type { BoundingTree } from '../../../mesh/bounding-tree.ts';
import { numTris, type Vec3 } from '../../../mesh/mesh.ts';
import { FROM_CUT, type KeyedPiece } from './keyed-piece.ts';

export interface Skin {
  /** Least wall outside of what was cut, mm. */
  readonly skinMm: number;
  /** Where it is, on what was cut. */
  readonly atMm: Vec3;
}

/** Least distance from the triangles of a keyed piece that were cut for keys (not those taken off along edges on purpose) to the outside of
 *  the shell as it was before; null where nothing was cut, or there is no outside. Exact: between triangles, not between samples of them.
 *  `outside`: of `KeyGround`. `near` picks some of what was cut by the middle of its triangles: for one seam of several.
 *  Space: model, worn. Cost: some 20 us a triangle that was cut. Method: docs/methods/keyed-pieces.md. */
export function skinOutside(
  keyed: Pick<KeyedPiece, 'mesh' | 'from'>,
  outside: BoundingTree,
  options: { readonly near?: (point: Vec3) => boolean } = {},
): Skin | null {
  const { positions, triangles } = keyed.mesh;
  const corners = new Float64Array(9);
  let skin: Skin | null = null;
  for (let tri = 0; tri < numTris(keyed.mesh); tri++) {
    if (keyed.from[tri] !== FROM_CUT) continue;
    for (let c = 0; c < 3; c++)
      for (let k = 0; k < 3; k++) corners[c * 3 + k] = positions[triangles[tri * 3 + c]! * 3 + k]!;
    if (options.near !== undefined && !options.near(middleOf(corners))) continue;
    const gap = triangleGap(outside, corners, skin?.skinMm);
    if (gap !== null) skin = { skinMm: gap.distanceMm, atMm: gap.atMm };
  }
  return skin;
}

function middleOf(corners: Float64Array): Vec3 {
  const mean = (k: number): number => (corners[k]! + corners[3 + k]! + corners[6 + k]!) / 3;
  return [mean(0), mean(1), mean(2)];
}
