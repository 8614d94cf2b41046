// Heights below points against a look at every facet, and what can be reckoned by hand.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../../src/base/work.ts';
import { heightsBelow, type PointArrays } from '../../../src/geometry/heights-below.ts';
import type { Mesh } from '../../../src/mesh/mesh.ts';
import { blob } from '../../support/print-blob.ts';
import { box, joinMeshes } from '../../support/printing-shapes.ts';

const pointsAt = (...at: readonly (readonly [number, number, number])[]): PointArrays => ({
  x: Float64Array.from(at, ([x]) => x),
  y: Float64Array.from(at, ([, y]) => y),
  z: Float64Array.from(at, ([, , z]) => z),
});

describe('a block of 4 mm on a plate of 2 mm', () => {
  const mesh = joinMeshes(box(40, 40, 2), box(10, 10, 4, 2));
  it('is met at its top, beside it the plate, beside that nothing', () => {
    const heights = heightsBelow(mesh, pointsAt([1, 2, 20], [12, -7, 20], [30, 0, 20]));
    expect([...heights]).toEqual([6, 2, -Infinity]);
  });
  it('does not lie below what is lower than its top', () => {
    expect([...heightsBelow(mesh, pointsAt([1, 2, 5], [1, 2, 1]))]).toEqual([2, -Infinity]);
  });
  it('lies below what touches it', () => {
    expect([...heightsBelow(mesh, pointsAt([1, 2, 6]))]).toEqual([6]);
  });
  it('of no points are none', () => {
    expect(heightsBelow(mesh, pointsAt()).length).toBe(0);
  });
  it('can be cancelled', () => {
    const tick = () => {
      throw new Cancelled();
    };
    expect(() => heightsBelow(mesh, pointsAt([0, 0, 9]), { seed: 1, tick })).toThrow(Cancelled);
  });
});

const SEED = 1912;
const mm = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
it(`are those of a look at every facet, seed ${SEED}`, () => {
  const point = fc.tuple(mm(14), mm(14), mm(25));
  fc.assert(
    fc.property(fc.array(point, { minLength: 1, maxLength: 60 }), mm(0.2), (at, wave) => {
      const mesh = joinMeshes(blob(12, [[wave, 1]], 14), box(25, 3, 2, 30));
      const heights = heightsBelow(mesh, pointsAt(...at));
      for (const [i, point] of at.entries()) expect(heights[i]).toBeCloseTo(bruteHeight(mesh, point), 9);
    }),
    { seed: SEED, numRuns: 40 },
  );
});

/** Own way: areas of the three triangles that a point makes with a facet seen from above. */
function bruteHeight({ positions: p, triangles }: Mesh, [x, y, z]: readonly [number, number, number]): number {
  let best = -Infinity;
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [0, 1, 2].map((k) => {
      const v = triangles[t + k]! * 3;
      return [p[v]!, p[v + 1]!, p[v + 2]!] as const;
    });
    const area = (u: readonly number[], v: readonly number[], w: readonly number[]): number =>
      ((v[0]! - u[0]!) * (w[1]! - u[1]!) - (v[1]! - u[1]!) * (w[0]! - u[0]!)) / 2;
    const whole = area(corners[0]!, corners[1]!, corners[2]!);
    if (whole <= 0) continue;
    const shares = [0, 1, 2].map((k) => area([x, y], corners[(k + 1) % 3]!, corners[(k + 2) % 3]!) / whole);
    if (Math.min(...shares) < 0) continue;
    const hit = shares.reduce((sum, share, k) => sum + share * corners[k]![2]!, 0);
    if (hit <= z && hit > best) best = hit;
  }
  return best;
}
