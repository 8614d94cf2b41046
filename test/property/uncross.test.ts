// Uncrossing heaps of random solids: the same volume as the solid kernel's union, the same inside, whatever the order and the turn.
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { selfCrossings } from '../../src/geometry/crossings/self-crossings.ts';
import { uncross } from '../../src/geometry/mend/uncross/uncross.ts';
import type { SolidKernel } from '../../src/geometry/solid/solid.ts';
import { windingExact } from '../../src/geometry/winding/winding-number.ts';
import { box, cylinder, icoSphere, together } from '../../src/mesh/builders.ts';
import { volume } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../src/mesh/topology.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { testKernel } from '../support/kernel.ts';
import { bumpyBall, randomTransform, shuffled } from '../support/random-mesh.ts';

const SEED = 6203;
const seeds = fc.integer({ min: 1, max: 2 ** 30 });

/** 2 to 6 solids, turned and within reach of each other; every third heap stands upright on a lattice, so that faces touch. */
function heap(seed: number): Mesh[] {
  const random = randomStream(seed);
  return Array.from({ length: 2 + (seed % 5) }, (_, i) => {
    const kind = Math.floor(random() * 4);
    const steps = (): number => Math.floor(random() * 4);
    if (seed % 3 === 0) {
      const [x, y, z] = [steps(), steps(), steps()];
      return box([x, y, z], [x + 1 + steps(), y + 1 + steps(), z + 1 + steps()]);
    }
    const solid = [
      () => box([-1, -0.7, -0.8], [1, 0.7, 0.8]),
      () => cylinder(0.6, 2, 17),
      () => icoSphere(1, 2),
      () => bumpyBall(seed + i, 2),
    ][kind]!();
    const turned = transformMesh(randomTransform(seed * 31 + i, 1), solid);
    const by = [random(), random(), random()].map((x) => 2 * (x - 0.5));
    const middle = [0, 1, 2].map((k) => turned.positions.filter((_, at) => at % 3 === k).reduce((a, b) => a + b, 0));
    const count = turned.positions.length / 3;
    return meshOf(
      turned.positions.map((x, at) => x - middle[at % 3]! / count + by[at % 3]!),
      turned.triangles,
    );
  });
}

describe(`uncrossing heaps of solids, seed ${SEED}`, () => {
  let kernel: SolidKernel;
  beforeAll(async () => {
    kernel = await testKernel();
  });

  it('closed, without crossings, with the volume of the kernel union', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const solids = heap(seed);
        const { mesh, pairsLeft, pairsBefore } = uncross(together(solids), QUIET_WORK);
        if (pairsBefore === 0) return;
        expect(pairsLeft).toBe(0);
        expect(selfCrossings(mesh).pairs).toBe(0);
        expect(surfaceCheck(mesh).closed).toBe(true);
        const wanted = volume(kernel.unite(solids));
        expect(Math.abs(volume(mesh) / wanted - 1)).toBeLessThan(2e-5);
      }),
      { seed: SEED, numRuns: 25 },
    );
  });

  it('inside is what the heap winds round, in any order of triangles', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const mesh = together(heap(seed - (seed % 3) + 1));
        const got = uncross(mesh, QUIET_WORK);
        const random = randomStream(seed);
        const points = Float64Array.from({ length: 900 }, () => 4 * (random() - 0.5));
        const [was, is] = [windingExact(mesh, points), windingExact(got.mesh, points)];
        if (got.pairsBefore > 0)
          for (let i = 0; i < was.length; i++)
            if (Math.abs(is[i]! - (was[i]! > 0.5 ? 1 : 0)) > 1e-6)
              throw new Error(`point ${i}: ${was[i]} and ${is[i]}`);
        const mixed = uncross(shuffled(mesh, seed), QUIET_WORK);
        expect(Math.abs(volume(mixed.mesh) / volume(got.mesh) - 1)).toBeLessThan(1e-9);
        expect(mixed.pairsLeft).toBe(got.pairsLeft);
      }),
      { seed: SEED, numRuns: 12 },
    );
  });
});
