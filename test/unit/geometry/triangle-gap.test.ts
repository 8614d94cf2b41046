import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../src/base/random.ts';
import { triangleGap } from '../../../src/geometry/triangle-gap.ts';
import { buildBoundingTree } from '../../../src/mesh/bounding-tree.ts';
import { closestPoint } from '../../../src/mesh/closest-point.ts';
import { meshOf } from '../../../src/mesh/mesh.ts';
import { randomSoup } from '../../support/random-mesh.ts';

const gapTo = (a: readonly number[], b: readonly number[], withinMm?: number) =>
  triangleGap(buildBoundingTree(meshOf(Float64Array.from(b), Uint32Array.of(0, 1, 2))), Float64Array.from(a), withinMm);
const flat = [0, 0, 0, 10, 0, 0, 0, 10, 0];

describe('triangleGap', () => {
  it.each([
    ['a corner over the inside', [2, 2, 3, 2, 3, 9, 3, 2, 9], 3],
    ['the inside over a corner', [-20, -20, -2, 40, -20, -2, 0, 60, -2], 2],
    ['two edges across', [5, -1, -4, 5, -1, 4, 5, -9, 0], 1],
    ['lying alike above', [1, 1, 0.5, 4, 1, 0.5, 1, 4, 0.5], 0.5],
    ['beside in the same plane', [12, 0, 0, 20, 0, 0, 12, 5, 0], 2],
    ['pierced by an edge', [2, 2, -1, 2, 2, 1, 9, 9, 5], 0],
    ['piercing', [-20, 1, -3, 20, 1, -3, 0, 1, 50], 0],
    ['sharing a corner', [0, 0, 0, -5, 0, 1, -5, 1, 0], 0],
  ] as const)('%s', (_, other, mm) => {
    expect(gapTo(other, flat)!.distanceMm).toBeCloseTo(mm, 12);
    expect(gapTo(flat, other)!.distanceMm).toBeCloseTo(mm, 12);
  });

  it('is null beyond the limit', () => {
    expect(gapTo([2, 2, 3, 2, 3, 9, 3, 2, 9], flat, 2.99)).toBeNull();
    expect(gapTo([2, 2, 3, 2, 3, 9, 3, 2, 9], flat, 3.01)).toMatchObject({ tri: 0, atMm: [2, 2, 3] });
  });

  it('agrees with the nearest of many points, in soups of triangles', () => {
    const random = randomStream(411);
    for (let i = 0; i < 60; i++) {
      const tree = buildBoundingTree(randomSoup(900 + i, 12));
      const corners = Float64Array.from({ length: 9 }, () => 8 * random() - 4);
      const found = triangleGap(tree, corners)!;
      let sampled = Infinity;
      const steps = 40;
      for (let a = 0; a <= steps; a++)
        for (let b = 0; a + b <= steps; b++) {
          const [u, v] = [a / steps, b / steps];
          const at = [0, 1, 2].map((k) => corners[k]! * (1 - u - v) + corners[3 + k]! * u + corners[6 + k]! * v);
          sampled = Math.min(sampled, closestPoint(tree, [at[0]!, at[1]!, at[2]!])!.distanceMm);
        }
      expect(found.distanceMm).toBeLessThanOrEqual(sampled + 1e-9);
      expect(found.distanceMm).toBeGreaterThan(sampled - 8 / steps);
      expect(closestPoint(tree, found.atMm)!.distanceMm).toBeCloseTo(found.distanceMm, 9);
    }
  });
});
