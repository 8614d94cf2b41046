import fc from 'fast-check';
import { describe, it } from 'vitest';
import { domeMesh } from '../support/pieces/round-shapes.ts';
import { expectLaws, piecesOf } from '../support/pieces/run-pieces.ts';

const SEED = 20;

describe(`pieces of random domes hold the laws (seed ${SEED})`, () => {
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
      { seed: SEED, numRuns: 4 },
    );
  });
});
