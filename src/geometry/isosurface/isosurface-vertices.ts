// Where in its cell each vertex goes: the point nearest to all tangent planes that cross its patch.
import { BLOCK_CELLS, firstCell, type Grid, SIDE } from './isosurface-blocks.ts';
import { GATHERED, type Quads } from './isosurface-quads.ts';

/** Pull toward the mean of the hits, against planes of weight 1: keeps flat places even and hardly rounds an edge. */
const PULL = 0.004;
/** Vertices may leave their cell by this share of it, to reach an edge that passes close by. */
const SLACK = 0.25;

/** numVerts x 3, mm. Solves (sum n n' + PULL) x = sum n (n . p) + PULL * mean per vertex (positive definite); a vertex that would
 *  leave its cell takes the best place in and close to it. Cost: O(numVerts). Source: Ju et al. 2002; the pull as in Schmitz et al. 2009. */
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
  out[0] = mx + dx;
  out[1] = my + dy;
  out[2] = mz + dz;
  if (!isInside(out)) {
    out[0] = mx;
    out[1] = my;
    out[2] = mz;
    descend(out, [xx, xy, xz, yy, yz, zz], [g[o + 6]! + w * mx, g[o + 7]! + w * my, g[o + 8]! + w * mz]);
  }
}

function isInside(p: Float64Array): boolean {
  const high = 1 + SLACK;
  return p[0]! >= -SLACK && p[0]! <= high && p[1]! >= -SLACK && p[1]! <= high && p[2]! >= -SLACK && p[2]! <= high;
}

/** The best place within the cell: one coordinate after another, each kept within it, until they settle. */
function descend(p: Float64Array, [xx, xy, xz, yy, yz, zz]: Six, [bx, by, bz]: Three): void {
  for (let round = 0; round < 16; round++) {
    p[0] = within((bx - xy * p[1]! - xz * p[2]!) / xx);
    p[1] = within((by - xy * p[0]! - yz * p[2]!) / yy);
    p[2] = within((bz - xz * p[0]! - yz * p[1]!) / zz);
  }
}

type Three = readonly [number, number, number];
type Six = readonly [number, number, number, number, number, number];

function within(t: number): number {
  return Math.min(1 + SLACK, Math.max(-SLACK, t));
}
