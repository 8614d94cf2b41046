// Distances between outlines by hand.
import { expect, it } from 'vitest';
import { outlineGap } from '../../../src/geometry/outline-gap.ts';

const square = (x: number, y: number, side = 10): Float64Array =>
  Float64Array.of(x, y, x + side, y, x + side, y + side, x, y + side);

it.each([
  ['side by side', square(0, 0), square(13, 0), 3],
  ['across a corner', square(0, 0), square(13, 14), 5],
  ['touching', square(0, 0), square(10, 0), 0],
  ['crossing', square(0, 0), square(5, 5), 0],
  ['one inside the other, between their borders', square(0, 0, 30), square(10, 8), 8],
] as const)('%s', (_what, one, other, gap) => {
  expect(outlineGap([one], [other])).toBeCloseTo(gap, 12);
  expect(outlineGap([other], [one])).toBeCloseTo(gap, 12);
});
