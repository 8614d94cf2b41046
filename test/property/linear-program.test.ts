// Linear programs against the corners one by one.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type Constraints, linearProgram, linearPrograms } from '../../src/geometry/linear/linear-program.ts';
import { bruteLinearProgram } from '../support/brute-linear-program.ts';

const SEED = 20417;

/** Small whole numbers: rows are often parallel, equal, or meet in one point, and every outcome comes up. */
const programs = (numVars: number) =>
  fc.record({
    rows: fc.array(fc.array(fc.integer({ min: -2, max: 2 }), { minLength: numVars, maxLength: numVars }), {
      minLength: 1,
      maxLength: 9,
    }),
    limits: fc.array(fc.integer({ min: -2, max: 5 }), { minLength: 9, maxLength: 9 }),
    objectives: fc.array(fc.array(fc.integer({ min: -3, max: 3 }), { minLength: numVars, maxLength: numVars }), {
      minLength: 1,
      maxLength: 3,
    }),
  });

it.each([1, 2, 3])(`with %i variables: the outcome and value of trying every corner, seed ${SEED}`, (numVars) => {
  const seen = new Set<string>();
  fc.assert(
    fc.property(programs(numVars), ({ rows, limits, objectives }) => {
      const constraints: Constraints = {
        numVars,
        rows: Float64Array.from(rows.flat()),
        limits: Float64Array.from(limits.slice(0, rows.length)),
      };
      const solve = linearPrograms(constraints);
      for (const objective of objectives) {
        const expected = bruteLinearProgram(objective, constraints);
        seen.add(expected.status);
        for (const got of [linearProgram(objective, constraints), solve(objective)]) {
          expect(got.status).toBe(expected.status);
          if (got.status === 'unbounded') expectWay(got.ray, objective, constraints);
          if (got.status !== 'best') continue;
          expect(Math.abs(got.value - expected.value)).toBeLessThan(1e-6);
          expect(mostBeyond(got.at, constraints)).toBeLessThan(1e-6);
        }
      }
    }),
    { seed: SEED, numRuns: 1500 },
  );
  expect(seen).toEqual(new Set(['best', 'unbounded', 'infeasible']));
});

function mostBeyond(at: Float64Array, { numVars, rows, limits }: Constraints): number {
  return limits.reduce((most, limit, row) => {
    const value = at.reduce((sum, x, k) => sum + x * rows[row * numVars + k]!, 0);
    return Math.max(most, value - limit);
  }, -Infinity);
}

function expectWay(ray: Float64Array, objective: readonly number[], constraints: Constraints): void {
  expect(ray.reduce((sum, x, k) => sum + x * objective[k]!, 0)).toBeGreaterThan(0);
  expect(mostBeyond(ray, { ...constraints, limits: constraints.limits.map(() => 0) })).toBeLessThan(1e-6);
}
