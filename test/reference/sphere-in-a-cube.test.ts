import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sphereMesh } from '../support/pieces/round-shapes.ts';
import { expectLaws, piecesOf } from '../support/pieces/run-pieces.ts';

const fact = JSON.parse(readFileSync('test/reference/sphere-in-a-cube.json', 'utf8')) as {
  source: string;
  value: { radiusMm: number; bedMm: number; fewest: number; most: number };
};

describe(`a sphere in cubes (${fact.source})`, () => {
  const { radiusMm, bedMm, fewest, most } = fact.value;
  const mesh = sphereMesh(radiusMm, 4);

  it('takes at least what volume asks and never more than octants', () => {
    const about = { bedMm: [bedMm, bedMm, bedMm] } as const;
    const found = piecesOf(mesh, about);
    expect(found.record.pieces.length).toBeGreaterThanOrEqual(fewest);
    expect(found.record.pieces.length).toBeLessThanOrEqual(most);
    expectLaws(mesh, about, found);
  });
});
