// Where in its cell each vertex goes: the point nearest to all tangent planes that cross its patch.
import { BLOCK_CELLS, firstCell, type Grid, SIDE } from './isosurface-blocks.ts';
import { GATHERED, type Quads } from './isosurface-quads.ts';

/** Pull toward the mean of the hits, against planes of weight 1: keeps flat places even and hardly rounds an edge. */
const PULL = 0.004;
/** Vertices stay this share of a cell inside it. */
const MARGIN = 0.01;

/** numVerts x 3, mm. Solves (sum n n' + PULL) x = sum n (n . p) + PULL * mean per vertex (positive definite); a vertex that would
 *  leave its cell goes toward the mean until it is inside. Cost: O(numVerts). Source: Ju et al. 2002; the pull as in Schmitz et al. 2009. */
export function placeVertices(grid: Grid, quads: Quads): Float64Array {
  const { cells, place, gathered, middles } = quads;
  const num = cells.cellOfVert.length;
  const positions = new Float64Array(num * 3 + middles.length);
  const at = new Float64Array(3);
  for (let v = 0; v < num; v++) {
    const cell = cells.cellOfVert[v]!;
    const [i0, j0, k0] = firstCell(grid, place[Math.trunc(cell / BLOCK_CELLS)]!);
    const inBlock = cell % BLOCK_CELLS;
    solve(gathered, v * GATHERED, at);
    positions[v * 3] = grid.originMm[0] + grid.cellMm * (i0 + (inBlock % SIDE) + at[0]!);
    positions[v * 3 + 1] = grid.originMm[1] + grid.cellMm * (j0 + (Math.trunc(inBlock / SIDE) % SIDE) + at[1]!);
    positions[v * 3 + 2] = grid.originMm[2] + grid.cellMm * (k0 + Math.trunc(inBlock / (SIDE * SIDE)) + at[2]!);
  }
  positions.set(middles, num * 3);
  return positions;
}

function solve(g: Float64Array, o: number, out: Float64Array): void {
  const count = g[o + 12]!;
  const mx = g[o + 9]! / count;
  const my = g[o + 10]! / count;
  const mz = g[o + 11]! / count;
  const w = PULL * count;
  const xx = g[o]! + w;
  const xy = g[o + 1]!;
  const xz = g[o + 2]!;
  const yy = g[o + 3]! + w;
  const yz = g[o + 4]!;
  const zz = g[o + 5]! + w;
  // Residual at the mean; the pull adds nothing there.
  const bx = g[o + 6]! - (g[o]! * mx + xy * my + xz * mz);
  const by = g[o + 7]! - (xy * mx + g[o + 3]! * my + yz * mz);
  const bz = g[o + 8]! - (xz * mx + yz * my + g[o + 5]! * mz);
  const cxx = yy * zz - yz * yz;
  const cxy = xz * yz - xy * zz;
  const cxz = xy * yz - xz * yy;
  const det = xx * cxx + xy * cxy + xz * cxz;
  const dx = (cxx * bx + cxy * by + cxz * bz) / det;
  const dy = (cxy * bx + (xx * zz - xz * xz) * by + (xy * xz - xx * yz) * bz) / det;
  const dz = (cxz * bx + (xy * xz - xx * yz) * by + (xx * yy - xy * xy) * bz) / det;
  const share = Math.min(1, room(mx, dx), room(my, dy), room(mz, dz));
  out[0] = mx + share * dx;
  out[1] = my + share * dy;
  out[2] = mz + share * dz;
}

/** How much of a step from `at` stays within the cell. */
function room(at: number, step: number): number {
  const from = Math.min(1 - MARGIN, Math.max(MARGIN, at));
  if (from !== at) return 0;
  if (step > 0) return (1 - MARGIN - at) / step;
  return step < 0 ? (MARGIN - at) / step : 1;
}
