// What bowed seams are made of, against plain answers: points near a place, and triangulations that are flipped and filled.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fillOf, insertPoint, settleFlips } from '../../src/geometry/flat-fill.ts';
import { twiceLoopArea } from '../../src/geometry/section-loops.ts';
import { PointGrid } from '../../src/workshop/pieces/bow/bow-grid.ts';
import { testKernel } from '../support/kernel.ts';

const SEED = 712;
const { triangulate } = await testKernel();
const coordinate = fc.double({ min: -50, max: 50, noNaN: true });

it(`finds the points within a radius, and how near the nearest is (seed ${SEED})`, () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(coordinate, coordinate), { maxLength: 60 }),
      coordinate,
      coordinate,
      fc.double({ min: 0.1, max: 60, noNaN: true }),
      (points, x, y, radius) => {
        const grid = new PointGrid(Float64Array.from(points.flat()), 4);
        const away = points.map(([px, py]) => Math.hypot(px - x, py - y));
        const found: number[] = [];
        grid.eachWithin(x, y, radius, (i) => found.push(i));
        const expected = away.flatMap((d, i) => (d <= radius ? [i] : []));
        // on the very edge a last bit may tell otherwise
        const edge = away.some((d) => Math.abs(d - radius) < 1e-9);
        if (!edge) expect([...found].sort((a, b) => a - b)).toEqual(expected);
        expect(grid.nearestWithin(x, y, radius)).toBeCloseTo(Math.min(radius, ...away), 9);
      },
    ),
    { seed: SEED, numRuns: 300 },
  );
});

it(`flips and filled points keep the region: same outline, same area, no triangle turned over (seed ${SEED})`, () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: 8, max: 20, noNaN: true }), { minLength: 5, maxLength: 40 }),
      fc.array(fc.tuple(coordinate, coordinate), { maxLength: 30 }),
      (radii, inside) => {
        const loop = Float64Array.from(
          radii.flatMap((r, i) => {
            const angle = (2 * Math.PI * i) / radii.length;
            return [r * Math.cos(angle), r * Math.sin(angle)];
          }),
        );
        const fill = fillOf(triangulate([loop], 1e-12), loop);
        settleFlips(fill);
        for (const [x, y] of inside) insertPoint(fill, x, y);
        let twice = 0;
        const sides = new Map<string, number>();
        for (let t = 0; t < fill.tris.length; t += 3) {
          const corners = [0, 1, 2].map((k) => fill.tris[t + k]!);
          const area = twiceLoopArea(
            Float64Array.from(corners.flatMap((c) => [fill.flat[c * 2]!, fill.flat[c * 2 + 1]!])),
          );
          expect(area).toBeGreaterThan(-1e-9);
          twice += area;
          corners.forEach((c, k) => {
            const [low, high] = [Math.min(c, corners[(k + 1) % 3]!), Math.max(c, corners[(k + 1) % 3]!)];
            sides.set(`${low} ${high}`, (sides.get(`${low} ${high}`) ?? 0) + 1);
          });
        }
        expect(twice).toBeCloseTo(twiceLoopArea(loop), 6);
        const outline = [...sides].filter(([, uses]) => uses === 1).map(([side]) => side);
        expect(outline.length).toBe(radii.length);
        expect([...sides.values()].every((uses) => uses <= 2)).toBe(true);
        expect(fill.tris.length / 3).toBe(radii.length - 2 + 2 * (fill.flat.length / 2 - radii.length));
        fill.twins.forEach((twin, h) => {
          if (twin >= 0) expect(fill.twins[twin]).toBe(h);
        });
      },
    ),
    { seed: SEED, numRuns: 150 },
  );
});
