import { expect, it } from 'vitest';
import { randomStream } from '../../../../src/base/random.ts';
import { invertSmall } from '../../../../src/geometry/linear/small-inverse.ts';

it.each([1, 2, 3, 4, 5, 6])('a matrix of %i rows times its inverse is one, and the matrix is left as it was', (n) => {
  const random = randomStream(n);
  const matrix = Float64Array.from({ length: n * n }, () => random() * 2 - 1);
  const before = matrix.slice();
  const inverse = new Float64Array(n * n);
  expect(invertSmall(matrix, n, inverse)).toBe(true);
  expect(matrix).toEqual(before);
  for (let row = 0; row < n; row++) {
    for (let col = 0; col < n; col++) {
      let sum = 0;
      for (let k = 0; k < n; k++) sum += matrix[row * n + k]! * inverse[k * n + col]!;
      expect(sum).toBeCloseTo(row === col ? 1 : 0, 10);
    }
  }
});

it('rows that lie in one plane have none', () => {
  expect(invertSmall(Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8, 9), 3, new Float64Array(9))).toBe(false);
  expect(invertSmall(new Float64Array(4), 2, new Float64Array(4))).toBe(false);
});

it('rows in any order are exchanged for their pivots', () => {
  const inverse = new Float64Array(9);
  expect(invertSmall(Float64Array.of(0, 0, 2, 4, 0, 0, 0, 5, 0), 3, inverse)).toBe(true);
  expect(Array.from(inverse)).toEqual([0, 0.25, 0, 0, 0, 0.2, 0.5, 0, 0]);
});
