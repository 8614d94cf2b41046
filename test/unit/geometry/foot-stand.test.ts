// How far a body leans before it tips, by hand.
import { describe, expect, it } from 'vitest';
import { footStand } from '../../../src/geometry/foot-stand.ts';

const square = Float64Array.from([0, 0, 20, 0, 20, 20, 0, 20, 10, 10]);

describe('footStand', () => {
  it('tips at 45 degrees with the centre as high as it is far from the edge', () => {
    const { tipDeg, hullMm2 } = footStand(square, [10, 10, 10]);
    expect(tipDeg).toBeCloseTo(45, 9);
    expect(hullMm2).toBeCloseTo(400, 9);
  });

  it('goes by the nearest edge, and below 0 outside', () => {
    expect(footStand(square, [15, 10, 5]).tipDeg).toBeCloseTo(45, 9);
    expect(footStand(square, [25, 10, 5]).tipDeg).toBeCloseTo(-45, 9);
  });

  it('has no foot on a point or a line', () => {
    expect(footStand(Float64Array.from([0, 0, 5, 5]), [0, 0, 5])).toEqual({ tipDeg: -90, hullMm2: 0 });
  });
});
