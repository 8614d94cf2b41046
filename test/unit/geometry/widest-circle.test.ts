import { describe, expect, test } from 'vitest';
import { insideMm, widestCircle } from '../../../src/geometry/widest-circle.ts';

const square = (low: number, high: number) => Float64Array.of(low, low, high, low, high, high, low, high);
const ring = (radius: number, steps: number) =>
  Float64Array.from({ length: steps * 2 }, (_, i) => {
    const a = (2 * Math.PI * Math.trunc(i / 2)) / steps;
    return radius * (i % 2 === 0 ? Math.cos(a) : Math.sin(a));
  });

describe('the widest circle in a face', () => {
  test('of a square, of a long strip and of an L', () => {
    expect(widestCircle([square(2, 12)]).radiusMm).toBeCloseTo(5, 1);
    expect(widestCircle([Float64Array.of(0, 0, 300, 0, 300, 3, 0, 3)]).radiusMm).toBeCloseTo(1.5, 1);
    const corner = Float64Array.of(0, 0, 20, 0, 20, 10, 10, 10, 10, 20, 0, 20);
    // touches both outer sides and the inner corner: r = (10 - r) sqrt 2
    expect(widestCircle([corner]).radiusMm).toBeCloseTo((10 * Math.SQRT2) / (1 + Math.SQRT2), 1);
  });

  test('of a ring it lies in the ring, not in its hole', () => {
    const found = widestCircle([ring(60, 128), ring(52, 128)]);
    expect(found.radiusMm).toBeCloseTo(4, 1);
    expect(Math.hypot(found.x, found.y)).toBeCloseTo(56, 0);
  });

  test('without an inside there is none', () => {
    expect(widestCircle([]).radiusMm).toBe(0);
    expect(widestCircle([Float64Array.of(0, 0, 1, 1)]).radiusMm).toBe(0);
  });

  test('a point outside is as far from the face as from its sides', () => {
    expect(insideMm([square(0, 10)], 13, 14)).toBeCloseTo(-5, 12);
    expect(insideMm([square(0, 10), square(4, 6)], 5, 5)).toBeCloseTo(-1, 12);
    expect(insideMm([square(0, 10), square(4, 6)], 2, 5)).toBeCloseTo(2, 12);
  });
});
