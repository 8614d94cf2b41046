import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convexOutline, fitRectangle, minRectangle } from '../../src/geometry/min-rectangle.ts';

const SEED = 7;
const cloud = fc
  .array(fc.tuple(fc.double({ min: -100, max: 100, noNaN: true }), fc.double({ min: -100, max: 100, noNaN: true })), {
    minLength: 3,
    maxLength: 30,
  })
  .map((points) => Float64Array.from(points.flat()));

function sizeAt(points: Float64Array, angle: number): [number, number] {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const low = [Infinity, Infinity];
  const high = [-Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 2) {
    const q = [points[i]! * c + points[i + 1]! * s, points[i + 1]! * c - points[i]! * s];
    for (const k of [0, 1] as const) {
      low[k] = Math.min(low[k]!, q[k]!);
      high[k] = Math.max(high[k]!, q[k]!);
    }
  }
  return [high[0]! - low[0]!, high[1]! - low[1]!];
}

describe(`rectangles round random points against brute force over angles (seed ${SEED})`, () => {
  it('no turn leaves more room than the one found', () => {
    fc.assert(
      fc.property(cloud, fc.integer({ min: 20, max: 300 }), fc.integer({ min: 20, max: 300 }), (points, w, d) => {
        const fit = fitRectangle(convexOutline(points), w, d);
        const [x, y] = sizeAt(points, fit.angleRad);
        expect(Math.min(w - x, d - y)).toBeCloseTo(fit.roomMm, 6);
        for (let k = 0; k < 720; k++) {
          const [a, b] = sizeAt(points, (k * Math.PI) / 720);
          expect(Math.min(w - a, d - b)).toBeLessThanOrEqual(fit.roomMm + 1e-6);
        }
      }),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('no turn gives less area than the least rectangle', () => {
    fc.assert(
      fc.property(cloud, (points) => {
        const least = minRectangle(convexOutline(points));
        for (let k = 0; k < 360; k++) {
          const [a, b] = sizeAt(points, (k * Math.PI) / 360);
          expect(a * b).toBeGreaterThanOrEqual(least.widthMm * least.depthMm * (1 - 1e-9) - 1e-9);
        }
      }),
      { seed: SEED, numRuns: 60 },
    );
  });
});
