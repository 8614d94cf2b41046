// Laws of the division on random domes, a few of each seed, so that each file of tests stays short.
import fc from 'fast-check';
import { describe, it } from 'vitest';
import { domeMesh } from './round-shapes.ts';
import { expectLaws, piecesOf } from './run-pieces.ts';

/** Two random domes of a seed on random beds. */
export function describeRandomDomes(seed: number): void {
  describe(`pieces of random domes hold the laws (seed ${seed})`, () => {
    it('closed when written, inside the bed, nothing lost, seams between two pieces', () => {
      fc.assert(
        fc.property(
          fc.record({
            widthMm: fc.integer({ min: 180, max: 270 }),
            depthMm: fc.integer({ min: 180, max: 320 }),
            heightMm: fc.integer({ min: 120, max: 300 }),
            wallMm: fc.integer({ min: 2, max: 6 }),
            bump: fc.double({ min: 0, max: 0.03, noNaN: true }),
            seed: fc.integer({ min: 0, max: 100 }),
          }),
          fc.record({
            bedMm: fc.tuple(
              fc.integer({ min: 160, max: 260 }),
              fc.integer({ min: 160, max: 260 }),
              fc.integer({ min: 160, max: 260 }),
            ),
            mirrored: fc.constantFrom('at x = 0' as const, 'no' as const),
          }),
          (shape, about) => {
            const mesh = domeMesh(shape, 48, 20);
            expectLaws(mesh, about, piecesOf(mesh, about));
          },
        ),
        { seed, numRuns: 2 },
      );
    });
  });
}
