import { expect, test } from 'vitest';
import { fitQuadratic, heightOf, type Quadratic, slopeOf } from '../../../src/geometry/quadratic-fit.ts';

function sampled(q: Quadratic, off: (x: number, y: number) => number = () => 0, at = 0): Float64Array {
  const points: number[] = [];
  for (let x = -8; x <= 8; x += 2)
    for (let y = 0; y <= 10; y += 2) points.push(x + at, y, heightOf(q, x + at, y) + off(x, y));
  return Float64Array.from(points);
}

test('a quadratic is found again, also far from the origin', () => {
  const q: Quadratic = [1, -0.3, 0.6, 0.01, -0.02, 0.03];
  for (const at of [0, 300]) {
    const found = fitQuadratic(sampled(q, undefined, at));
    for (const [x, y] of [
      [at, 0],
      [at + 7, 9],
    ] as const) {
      expect(heightOf(found, x, y)).toBeCloseTo(heightOf(q, x, y), 5);
      for (const i of [0, 1] as const) expect(slopeOf(found, x, y)[i]).toBeCloseTo(slopeOf(q, x, y)[i], 5);
    }
  }
});

test('what is alike on both sides of it does not pull it', () => {
  const q: Quadratic = [0, 0, 0.5, 0.02, 0, 0];
  const found = fitQuadratic(sampled(q, (x) => (x === 8 ? 0.1 : x === -8 ? -0.1 : 0)));
  expect(heightOf(found, 0, 5)).toBeCloseTo(heightOf(q, 0, 5), 5);
});

test('along a line it stays level across', () => {
  const found = fitQuadratic(Float64Array.of(0, 0, 1, 1, 0, 2, 2, 0, 3));
  expect(heightOf(found, 1, 5)).toBeCloseTo(2, 3);
});
