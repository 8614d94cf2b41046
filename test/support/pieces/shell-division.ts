// One division of the shared reference shell against a plain prototype and uniform grids, for files that each take one bed.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { meshOf } from '../../../src/mesh/mesh.ts';
import { hasReference, REFERENCE, readShell } from '../section-shapes.ts';
import { expectLaws, piecesOf } from './run-pieces.ts';

const fact = JSON.parse(readFileSync('test/reference/shell-divisions.json', 'utf8')) as {
  source: string;
  value: { bedMm: [number, number, number]; most: number; grid: number }[];
};

/** Describes the divisions of the shared shell for the facts from one place to another. Skipped where the shell is not there. */
export function describeShellDivisions(from: number, to: number): void {
  describe.skipIf(!hasReference)(`divisions of the shared shell (skipped without it; ${fact.source})`, () => {
    it.each(fact.value.slice(from, to))('on $bedMm takes at most $most pieces', ({ bedMm, most, grid }) => {
      const read = readShell(`${REFERENCE}/shell-50k.stl`);
      // the file faces +y; model space faces -y
      const mesh = meshOf(
        read.positions.map((v, i) => (i % 3 === 2 ? v : -v)),
        read.triangles,
      );
      const found = piecesOf(mesh, { bedMm });
      expect(found.record.pieces.length).toBeLessThanOrEqual(Math.min(most, grid));
      expectLaws(mesh, { bedMm }, found);
    });
  });
}
