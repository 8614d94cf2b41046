// Where a block can get to from outside, and which places on a surface it then has before it: a hand that works in a hollow.
import { type CellGrid, cellIndex } from './occupancy-grid.ts';
import { spiralDirections } from './sphere-directions.ts';

/** A block with two equal long sides. */
export interface Block {
  readonly longMm: number;
  readonly thinMm: number;
}

/** Per cell: 1 where the middle of the block can come to stand, from outside the grid, always along the axes and with its thin side along any
 *  one of them, without touching an occupied cell. `occupied`: per cell, 1 where something is; what lies outside the grid is free.
 *  It never says that the block passes where it does not: a cell counts as full when it is touched, and the block as all cells that
 *  it touches. Cost: O(cells), some 0.15 s for 700,000. Method: sums over boxes by a table (Crow 1984), then a flood over places and
 *  three ways to hold it; docs/methods/assembly-order.md. Weak: a block held askew may pass where this one does not. */
export function blockPassage(grid: CellGrid, occupied: Uint8Array, block: Block): Uint8Array {
  const cells = occupied.length;
  const fits = fitting(grid, occupied, block);
  const been = new Uint8Array(cells * 3);
  const stack = new Int32Array(cells * 3);
  const [nx, ny, nz] = grid.size;
  let depth = 0;
  const visit = (state: number): void => {
    if (been[state] === 1) return;
    been[state] = 1;
    if (fits(state)) stack[depth++] = state;
    else been[state] = 2;
  };
  for (let cell = 0; cell < cells; cell++)
    if (isOnEdge(grid, cell)) for (let way = 0; way < 3; way++) visit(way * cells + cell);
  while (depth > 0) {
    const state = stack[--depth]!;
    const way = Math.floor(state / cells);
    const cell = state - way * cells;
    const i = cell % nx;
    const j = Math.floor(cell / nx) % ny;
    const k = Math.floor(cell / (nx * ny));
    if (i > 0) visit(state - 1);
    if (i + 1 < nx) visit(state + 1);
    if (j > 0) visit(state - nx);
    if (j + 1 < ny) visit(state + nx);
    if (k > 0) visit(state - nx * ny);
    if (k + 1 < nz) visit(state + nx * ny);
    for (let other = 0; other < 3; other++) visit(other * cells + cell);
  }
  const out = new Uint8Array(cells);
  for (let state = 0; state < been.length; state++) if (been[state] === 1) out[state % cells] = 1;
  return out;
}

export const BEFORE_DEFAULTS = {
  /** From the middle of the block. */
  reachMm: 95,
  directions: 96,
} as const;

/** Per place, 1 when a straight line from it, free all the way, leads to where the middle of the block may stand, no farther than
 *  `reachMm`. places: num x 6, mm: a point on a surface and the unit vector out of it. The first cell and a half before the surface do
 *  not count, so that the surface itself is not in its own way. Cost: O(num x directions x reach / cell). */
export function placesBefore(
  grid: CellGrid,
  by: { readonly occupied: Uint8Array; readonly passage: Uint8Array },
  places: Float64Array,
  options: { readonly reachMm: number; readonly directions: number } = BEFORE_DEFAULTS,
): Uint8Array {
  const directions = spiralDirections(options.directions);
  const out = new Uint8Array(places.length / 6);
  for (let place = 0; place < out.length; place++) {
    const at = places.subarray(place * 6, place * 6 + 6);
    for (let d = 0; d < directions.length && out[place] === 0; d += 3)
      if (isFreeLine(grid, by, at, { way: directions.subarray(d, d + 3), reachMm: options.reachMm })) out[place] = 1;
  }
  return out;
}

/** Flatter lines than this along the surface are not looked along: the wall's own curve would stand in their way. */
const LEAST_RISE = 0.15;

function isFreeLine(
  grid: CellGrid,
  { occupied, passage }: { readonly occupied: Uint8Array; readonly passage: Uint8Array },
  at: Float64Array,
  by: { readonly way: Float64Array; readonly reachMm: number },
): boolean {
  const [dx, dy, dz] = [by.way[0]!, by.way[1]!, by.way[2]!];
  if (dx * at[3]! + dy * at[4]! + dz * at[5]! < LEAST_RISE) return false;
  const lift = 1.5 * grid.cellMm;
  const [x, y, z] = [at[0]! + lift * at[3]!, at[1]! + lift * at[4]!, at[2]! + lift * at[5]!];
  for (let along = 0; along + lift <= by.reachMm; along += grid.cellMm / 2) {
    const cell = cellIndex(grid, x + along * dx, y + along * dy, z + along * dz);
    if (cell < 0 || passage[cell] === 1) return true;
    if (occupied[cell] === 1) return false;
  }
  return false;
}

function isOnEdge({ size: [nx, ny, nz] }: CellGrid, cell: number): boolean {
  const i = cell % nx;
  const j = Math.floor(cell / nx) % ny;
  const k = Math.floor(cell / (nx * ny));
  return i === 0 || j === 0 || k === 0 || i === nx - 1 || j === ny - 1 || k === nz - 1;
}

/** Whether the block fits with its middle in the middle of a cell; state = way held x cells + cell. */
function fitting(grid: CellGrid, occupied: Uint8Array, block: Block): (state: number) => boolean {
  const [nx, ny, nz] = grid.size;
  const cells = occupied.length;
  const sums = boxSums(grid, occupied);
  const halfOf = (mm: number): number => Math.ceil(mm / 2 / grid.cellMm + 0.5) - 1;
  const [long, thin] = [halfOf(block.longMm), halfOf(block.thinMm)];
  const at = (i: number, j: number, k: number): number => sums[i + (nx + 1) * (j + (ny + 1) * k)]!;
  return (state) => {
    const way = Math.floor(state / cells);
    const cell = state - way * cells;
    const i = cell % nx;
    const j = Math.floor(cell / nx) % ny;
    const k = Math.floor(cell / (nx * ny));
    const [hi, hj, hk] = [way === 0 ? thin : long, way === 1 ? thin : long, way === 2 ? thin : long];
    const [i0, i1] = [Math.max(0, i - hi), Math.min(nx, i + hi + 1)];
    const [j0, j1] = [Math.max(0, j - hj), Math.min(ny, j + hj + 1)];
    const [k0, k1] = [Math.max(0, k - hk), Math.min(nz, k + hk + 1)];
    const above = at(i1, j1, k1) - at(i0, j1, k1) - at(i1, j0, k1) + at(i0, j0, k1);
    const below = at(i1, j1, k0) - at(i0, j1, k0) - at(i1, j0, k0) + at(i0, j0, k0);
    return above === below;
  };
}

/** Sum of all cells before a corner of the grid: (nx + 1) x (ny + 1) x (nz + 1). */
function boxSums({ size: [nx, ny, nz] }: CellGrid, occupied: Uint8Array): Int32Array {
  const [sx, sxy] = [nx + 1, (nx + 1) * (ny + 1)];
  const sums = new Int32Array(sxy * (nz + 1));
  for (let k = 0; k < nz; k++) {
    for (let j = 0; j < ny; j++) {
      let row = 0;
      for (let i = 0; i < nx; i++) {
        row += occupied[i + nx * (j + ny * k)]!;
        const o = i + 1 + sx * (j + 1) + sxy * (k + 1);
        sums[o] = row + sums[o - sx]! + sums[o - sxy]! - sums[o - sx - sxy]!;
      }
    }
  }
  return sums;
}
