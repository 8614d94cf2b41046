// Which cells of a grid an edge passes through, row by row: the first step of every raster that must not miss a touched cell.

/** Calls `visit` for each row of unit cells that the edge between two of the points meets, with the first and last cell in it.
 *  `points`: xy interleaved, in cells. Cost: O(rows). */
export function edgeStrips(
  points: Float64Array,
  from: number,
  to: number,
  visit: (row: number, first: number, last: number) => void,
): void {
  if (points[2 * from + 1]! > points[2 * to + 1]!) [from, to] = [to, from];
  const ax = points[2 * from]!;
  const ay = points[2 * from + 1]!;
  const bx = points[2 * to]!;
  const by = points[2 * to + 1]!;
  const bottom = Math.floor(ay);
  const top = Math.floor(by);
  const slope = by > ay ? (bx - ax) / (by - ay) : 0;
  for (let row = bottom; row <= top; row++) {
    const low = row === bottom ? ax : ax + slope * (row - ay);
    const high = row === top ? bx : ax + slope * (row + 1 - ay);
    if (low <= high) visit(row, Math.floor(low), Math.floor(high));
    else visit(row, Math.floor(high), Math.floor(low));
  }
}
