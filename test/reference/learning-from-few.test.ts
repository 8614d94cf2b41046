// Learning factors from few measurements, against a case solved by hand and widths integrated outside this program.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { believeMore, foretell, type LinearBelief } from '../../src/geometry/linear/linear-belief.ts';
import { studentWidth } from '../../src/geometry/linear/student-t.ts';

const known = JSON.parse(readFileSync('test/reference/learning-from-few.json', 'utf8'));
const before: LinearBelief = {
  mean: Float64Array.of(1, 1),
  spread: Float64Array.of(1, 0, 0, 1),
  shape: 2,
  rate: 2,
};
const measured: readonly (readonly [number[], number])[] = [
  [[1, 0], 2],
  [[1, 1], 3],
];

describe('a belief in two factors', () => {
  const { value, tolerance } = known.twoFactors;
  const near = (is: number, expected: number): void =>
    expect(Math.abs(is - expected)).toBeLessThanOrEqual(tolerance.absolute);

  for (const order of [
    [0, 1],
    [1, 0],
  ])
    it(`is what the hand finds after both measurements, in the order ${order.join(', ')}`, () => {
      const belief = order.reduce((held, i) => believeMore(held, ...measured[i]!), before);
      belief.mean.forEach((factor, i) => {
        near(factor, value.mean[i]);
      });
      belief.spread.forEach((each, i) => {
        near(each, value.spread[i]);
      });
      near(belief.shape, value.shape);
      near(belief.rate, value.rate);
      const { value: foretold, scale, freedom } = foretell(belief, [2, 1], 1);
      near(foretold, value.foretold);
      near(scale * scale, value.squaredScale);
      expect(freedom).toBe(6);
    });
});

it('widths of Student’s t are those of its density', () => {
  for (const [freedom, ninety, ninetyNine] of known.widths.value) {
    expect(Math.abs(studentWidth(0.9, freedom) - ninety)).toBeLessThanOrEqual(known.widths.tolerance.absolute);
    expect(Math.abs(studentWidth(0.99, freedom) - ninetyNine)).toBeLessThanOrEqual(known.widths.tolerance.absolute);
  }
});
