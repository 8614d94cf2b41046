// The left half of the demo's helm, cut at its plane of symmetry: all of its ornament, inside and outside, in half the time of the whole.
import { isosurface } from '../../src/geometry/isosurface/isosurface.ts';
import { simplifyClosed } from '../../src/geometry/simplify.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { KEEPERS_HELM_BOUNDS, keepersHelm } from '../../src/workshop/demo/keepers-helm.ts';

/** The grid of the demo itself; a coarser one tears the walls. */
const CELL_MM = 1.35;
/** The plane of the cut is no plane of the grid. */
const CUT_MM = 0.4;

/** Closed; as fine as the whole helm is with twice as many triangles. */
export function halfHelm(triangles: number): Mesh {
  const { minMm, maxMm } = KEEPERS_HELM_BOUNDS;
  const fine = isosurface((x, y, z) => Math.max(keepersHelm(x, y, z), CUT_MM - x), {
    within: { minMm: [-2 * CELL_MM, minMm[1], minMm[2]], maxMm },
    cellMm: CELL_MM,
  });
  return simplifyClosed(fine, { triangles });
}
