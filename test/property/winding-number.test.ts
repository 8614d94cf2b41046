// Fast winding numbers against exact ones, and both unchanged when the world is turned and scaled.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { buildWindingTree, windingExact, windingFastMany } from '../../src/geometry/winding/winding-number.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { bumpyBall, randomSoup } from '../support/random-mesh.ts';

const SEED = 20_311;

describe(`winding numbers (seed ${SEED})`, () => {
  test('fast is within 1e-3 of exact for closed, open and doubled shells', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.constantFrom(0, 100, 1000), (seed, cut) => {
        const ball = bumpyBall(seed, 3);
        const mesh = meshOf(ball.positions, ball.triangles.slice(cut * 3));
        expect(largestMiss(mesh, somePoints(seed, 60, 1.6))).toBeLessThan(1e-3);
      }),
      { seed: SEED, numRuns: 25 },
    );
  });

  test('fast is within 1e-3 of exact for triangles thrown at random', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
        expect(largestMiss(randomSoup(seed, 300), somePoints(seed, 60, 2))).toBeLessThan(1e-3);
      }),
      { seed: SEED, numRuns: 25 },
    );
  });

  test('a turned, scaled and moved world has the same numbers', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0.01, max: 100, noNaN: true }), (seed, scale) => {
        const mesh = randomSoup(seed, 60);
        const points = somePoints(seed, 20, 1.5);
        const before = windingExact(mesh, points);
        const moved = meshOf(turn(mesh.positions, scale), mesh.triangles);
        windingExact(moved, turn(points, scale)).forEach((w, i) => {
          expect(w).toBeCloseTo(before[i]!, 8);
        });
      }),
      { seed: SEED, numRuns: 25 },
    );
  });

  test('far from the middle of coordinates the fast number stays as good', () => {
    const ball = bumpyBall(5, 4);
    const shift = (p: Float64Array): Float64Array => p.map((x, i) => x + [8e6, -1.2e7, 4e6][i % 3]!);
    const points = somePoints(9, 50, 1.4);
    expect(largestMiss(meshOf(shift(ball.positions), ball.triangles), shift(points))).toBeLessThan(1e-3);
  });

  test('nothing winds round nothing', () => {
    const empty = meshOf(new Float64Array(0), new Uint32Array(0));
    expect(windingFastMany(buildWindingTree(buildBoundingTree(empty)), Float64Array.of(1, 2, 3))[0]).toBe(0);
    expect(windingExact(empty, Float64Array.of(1, 2, 3))[0]).toBe(0);
  });
});

function largestMiss(mesh: Mesh, points: Float64Array): number {
  const exact = windingExact(mesh, points);
  const fast = windingFastMany(buildWindingTree(buildBoundingTree(mesh)), points);
  return fast.reduce((most, w, i) => Math.max(most, Math.abs(w - exact[i]!)), 0);
}

function somePoints(seed: number, num: number, reach: number): Float64Array {
  const random = randomStream(seed);
  return Float64Array.from({ length: num * 3 }, () => reach * (2 * random() - 1));
}

function turn(p: Float64Array, scale: number): Float64Array {
  const out = new Float64Array(p.length);
  const [c, s] = [Math.cos(0.7), Math.sin(0.7)];
  for (let i = 0; i < p.length; i += 3) {
    const [x, y, z] = [p[i]!, p[i + 1]!, p[i + 2]!];
    const u = c * x - s * y;
    const v = s * x + c * y;
    out[i] = scale * (c * u - s * z) + 3;
    out[i + 1] = scale * v - 7;
    out[i + 2] = scale * (s * u + c * z) + 1;
  }
  return out;
}
