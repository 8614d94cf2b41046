// The boundary of a set of grid cells as closed loops of corners.

/** A grid of cells, row by row; 1 where the set is. Its outermost cells are 0. */
export interface CellSet {
  readonly cells: Uint8Array;
  readonly wide: number;
  readonly deep: number;
}

/** Loops of corners (xy interleaved, in cells), the set on their left: outer ones run counter-clockwise, holes clockwise. Cells that touch by a corner
 *  only count as joined. Corners in a straight line are left out. Cost: O(cells). */
export function cellBoundary({ cells, wide, deep }: CellSet): Int32Array[] {
  const at = (x: number, y: number): number => cells[y * wide + x]!;
  const corners = wide + 1;
  /** For each corner, bit d set where an unvisited edge leaves it towards direction d: 0 east, 1 north, 2 west, 3 south. */
  const leaving = new Uint8Array(corners * (deep + 1));
  for (let y = 1; y < deep; y++)
    for (let x = 1; x < wide; x++) {
      const here = at(x, y);
      if (here !== at(x, y - 1)) {
        if (here === 1) leaving[y * corners + x]! |= 1;
        else leaving[y * corners + x + 1]! |= 4;
      }
      if (here !== at(x - 1, y)) {
        if (here === 1) leaving[(y + 1) * corners + x]! |= 8;
        else leaving[y * corners + x]! |= 2;
      }
    }
  const loops: Int32Array[] = [];
  for (let start = 0; start < leaving.length; start++)
    while (leaving[start] !== 0) loops.push(walkLoop(leaving, start, corners));
  return loops;
}

const STEP_X = [1, 0, -1, 0] as const;
const STEP_Y = [0, 1, 0, -1] as const;

function walkLoop(leaving: Uint8Array, start: number, corners: number): Int32Array {
  const loop: number[] = [];
  let corner = start;
  let heading = -1;
  do {
    const next = wayOn(leaving[corner]!, heading);
    if (next !== heading) loop.push(corner % corners, Math.floor(corner / corners));
    leaving[corner]! &= ~(1 << next);
    corner += STEP_X[next]! + corners * STEP_Y[next]!;
    heading = next;
  } while (corner !== start);
  return Int32Array.from(loop);
}

/** To the right first, so that cells which touch by a corner stay joined; then straight on; then to the left. */
function wayOn(ways: number, heading: number): number {
  if (heading < 0) return 31 - Math.clz32(ways & -ways);
  for (const turn of [3, 0, 1]) {
    const way = (heading + turn) % 4;
    if ((ways & (1 << way)) !== 0) return way;
  }
  return 31 - Math.clz32(ways & -ways);
}
