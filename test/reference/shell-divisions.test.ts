// Divisions of the shared reference shell against a plain prototype and uniform grids. Skipped where the shell is not there.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { meshOf } from '../../src/mesh/mesh.ts';
import { expectLaws, piecesOf } from '../support/pieces/run-pieces.ts';
import { hasReference, REFERENCE, readShell } from '../support/section-shapes.ts';

const fact = JSON.parse(readFileSync('test/reference/shell-divisions.json', 'utf8')) as {
  source: string;
  value: { bedMm: [number, number, number]; most: number; grid: number }[];
};

describe.skipIf(!hasReference)(`divisions of the shared shell (skipped without it; ${fact.source})`, () => {
  it.each(fact.value)('on $bedMm takes at most $most pieces', ({ bedMm, most, grid }) => {
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
