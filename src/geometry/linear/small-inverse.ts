// The inverse of a matrix of a few rows, made anew rather than updated: at this size that is quick, and errors do not add up.

/** Writes the inverse of `matrix` (num x num, row by row, left as it is) into `inverse`. False, with `inverse` of no use, when a pivot
 *  is under 1e-13 of the largest entry. Cost: O(num^3). Method: Gauss-Jordan elimination with the largest pivot of each column. */
export function invertSmall(matrix: Float64Array, num: number, inverse: Float64Array): boolean {
  const m = Float64Array.from(matrix);
  let largest = 0;
  for (let i = 0; i < m.length; i++) largest = Math.max(largest, Math.abs(m[i]!));
  inverse.fill(0);
  for (let i = 0; i < num; i++) inverse[i * num + i] = 1;
  for (let col = 0; col < num; col++) {
    let pivot = col;
    for (let row = col + 1; row < num; row++)
      if (Math.abs(m[row * num + col]!) > Math.abs(m[pivot * num + col]!)) pivot = row;
    const by = m[pivot * num + col]!;
    if (!(Math.abs(by) > 1e-13 * largest)) return false;
    for (const side of [m, inverse]) {
      for (let k = 0; k < num; k++) {
        const kept = side[col * num + k]!;
        side[col * num + k] = side[pivot * num + k]! / by;
        if (pivot !== col) side[pivot * num + k] = kept;
      }
    }
    for (let row = 0; row < num; row++) {
      const times = m[row * num + col]!;
      if (row === col || times === 0) continue;
      for (let k = 0; k < num; k++) {
        m[row * num + k] = m[row * num + k]! - times * m[col * num + k]!;
        inverse[row * num + k] = inverse[row * num + k]! - times * inverse[col * num + k]!;
      }
    }
  }
  return true;
}
