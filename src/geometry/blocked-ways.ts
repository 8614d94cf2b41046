// In how many of 26 ways does one leaving a cell of the grid meet the surface? Many ways: the cell lies in a hollow.
import { FREE, type OccupancyGrid } from './occupancy-grid.ts';

export const NUM_WAYS = 26;

/** Per cell, how many of the ways to its 26 neighbours, continued straight on, meet a cell that is not free; 0 for the outermost
 *  cells. Cost: 26 passes over the grid, about 15 ms for 48 cells a side. Weak: 26 ways are a coarse sphere (steps of 35 to 45
 *  degrees), good for finding a hollow, not for measuring one. */
export function blockedWays(grid: OccupancyGrid): Uint8Array {
  const blocked = new Uint8Array(grid.state.length);
  const row = new Uint8Array(grid.state.length);
  for (let way = 0; way < 27; way++) {
    if (way === 13) continue;
    sweep(grid, [(way % 3) - 1, (Math.floor(way / 3) % 3) - 1, Math.floor(way / 9) - 1], row);
    for (let cell = 0; cell < row.length; cell++) blocked[cell] = blocked[cell]! + row[cell]!;
  }
  return blocked;
}

/** row[cell] = 1 when something stands that way. Cells are visited so that the next one that way is already known. */
function sweep(grid: OccupancyGrid, way: readonly [number, number, number], row: Uint8Array): void {
  const [nx, ny, nz] = grid.size;
  const step = way[0] + nx * (way[1] + ny * way[2]);
  row.fill(0);
  for (let kk = 1; kk < nz - 1; kk++) {
    const k = way[2] > 0 ? nz - 1 - kk : kk;
    for (let jj = 1; jj < ny - 1; jj++) {
      const j = way[1] > 0 ? ny - 1 - jj : jj;
      const start = nx * (j + ny * k);
      for (let ii = 1; ii < nx - 1; ii++) {
        const cell = start + (way[0] > 0 ? nx - 1 - ii : ii);
        row[cell] = grid.state[cell + step] !== FREE ? 1 : row[cell + step]!;
      }
    }
  }
}
