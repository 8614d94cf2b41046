// The line a seam draws on the outside: how long it is, what it costs, from where it is looked at.
import { describe, expect, it } from 'vitest';
import { freeExposure } from '../../../../../src/geometry/exposure.ts';
import { bowl } from '../../../../../src/mesh/builders.ts';
import type { Vec3 } from '../../../../../src/mesh/mesh.ts';
import { PiecesSettings } from '../../../../../src/workshop/pieces/pieces.ts';
import type { Seam } from '../../../../../src/workshop/process/pieces-record.ts';
import { lookedFrom, Viewers } from '../../../../../src/workshop/process/viewers.ts';
import { blockMesh } from '../../../../support/pieces/block-mesh.ts';
import { piecesOf } from '../../../../support/pieces/run-pieces.ts';

const { hidden } = PiecesSettings.parse({ beds: [{ id: 'bed', bedMm: [1, 1, 1] }] }).weights;
const viewers = Viewers.parse({});
const looked = (normal: Vec3): number => freeExposure(normal, (x, y, z) => lookedFrom(viewers, x, y, z));

/** A millimetre on a free face that looks this way; nothing is looked at more than a face to the front. */
function priceOf(normal: Vec3): number {
  return hidden + ((1 - hidden) * looked(normal)) / looked([0, -1, 0]);
}

function sumOf(seams: readonly Seam[], of: (seam: Seam) => number): number {
  return seams.reduce((sum, seam) => sum + of(seam), 0);
}

describe('the seam round a solid block', () => {
  const { record } = piecesOf(blockMesh([180, 80, 80]), { bedMm: [110, 110, 105] });
  const seam = record.seams[0]!;

  it('runs round all four sides in one closed line', () => {
    expect(record.seams.length).toBe(1);
    expect(seam.outerMm).toBeCloseTo(320, 6);
    expect(seam.innerMm).toBe(0);
    expect(seam.lines.length).toBe(1);
    const { points } = seam.lines[0]!;
    expect([...points.slice(0, 3)]).toEqual([...points.slice(-3)]);
  });

  it('costs what its sides are looked at', () => {
    const sides: Vec3[] = [
      [0, -1, 0],
      [0, 1, 0],
      [0, 0, 1],
      [0, 0, -1],
    ];
    const known = sides.reduce((sum, normal) => sum + 80 * priceOf(normal), 0);
    expect(Math.abs(seam.costMm / known - 1)).toBeLessThan(0.03);
  });

  it('is looked at from the front, from behind and from above, a side each; nobody sees the fourth', () => {
    const { frontMm, backMm, aboveMm, unseenMm, sidesMm, creaseMm } = seam.places;
    for (const mm of [frontMm, backMm, aboveMm, unseenMm]) expect(mm).toBeCloseTo(80, 6);
    expect(sidesMm + creaseMm).toBe(0);
  });
});

describe('seams of a bowl', () => {
  const { record } = piecesOf(bowl({ outerMm: 100, wallMm: 3 }, 24), { bedMm: [130, 220, 120] });

  it('are told apart inside and outside: nothing of the inside is seen', () => {
    expect(record.seen.length).toBeGreaterThan(0);
    const ratio = sumOf(record.seams, (seam) => seam.outerMm) / sumOf(record.seams, (seam) => seam.innerMm);
    expect(ratio).toBeGreaterThan(1);
    expect(ratio).toBeLessThan(1.15);
  });

  it('end where a third piece begins', () => {
    for (const { lines, outerMm } of record.seams) {
      expect(outerMm).toBeGreaterThan(0);
      expect(lines.length).toBeGreaterThan(0);
    }
  });
});
