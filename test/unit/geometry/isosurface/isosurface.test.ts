// Meshing of fields: against closed forms, sharp edges, and grids of pure chance, which meet every awkward case.
import { describe, expect, test } from 'vitest';
import { type Field, isosurface } from '../../../../src/geometry/isosurface/isosurface.ts';
import { cellCases } from '../../../../src/geometry/isosurface/isosurface-cases.ts';
import { bounds, surfaceArea, volume } from '../../../../src/mesh/measure.ts';
import type { Bounds } from '../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../src/mesh/topology.ts';

const WITHIN: Bounds = { minMm: [-30, -30, -30], maxMm: [30, 30, 30] };
const BALL: Field = (x, y, z) => Math.hypot(x, y, z) - 20;
const BOX: Field = (x, y, z) => Math.max(Math.abs(x) - 20, Math.abs(y) - 17, Math.abs(z) - 14);
const RING: Field = (x, y, z) => Math.hypot(Math.hypot(x, y) - 18, z) - 6;

describe('isosurface', () => {
  test.each([
    { name: 'ball', field: BALL, area: 4 * Math.PI * 400, held: (4 / 3) * Math.PI * 8000, genus: 0 },
    { name: 'box', field: BOX, area: 8 * (20 * 17 + 17 * 14 + 20 * 14), held: 8 * 20 * 17 * 14, genus: 0 },
    { name: 'ring', field: RING, area: 4 * Math.PI ** 2 * 18 * 6, held: 2 * Math.PI ** 2 * 18 * 36, genus: 1 },
  ])('a $name has its area, volume and handles', ({ field, area, held, genus }) => {
    const mesh = isosurface(field, { within: WITHIN, cellMm: 1 });
    const check = surfaceCheck(mesh);
    expect(check).toMatchObject({ manifold: true, shells: 1, genus });
    expect(surfaceArea(mesh) / area).toBeCloseTo(1, 2);
    expect(volume(mesh) / held).toBeCloseTo(1, 2);
  });

  test('sharp edges and corners are kept: a box keeps its size', () => {
    const mesh = isosurface(BOX, { within: WITHIN, cellMm: 1.3 });
    const { minMm, maxMm } = bounds(mesh);
    [20, 17, 14].forEach((half, axis) => {
      expect(maxMm[axis]).toBeCloseTo(half, 1);
      expect(minMm[axis]).toBeCloseTo(-half, 1);
    });
    expect(volume(mesh) / (8 * 20 * 17 * 14)).toBeCloseTo(1, 3);
  });

  test.each([1, 2, 3, 4, 5])('noise cut by a ball is one closed manifold (seed %i)', (seed) => {
    const field: Field = (x, y, z) => Math.max(chance(x, y, z, seed), Math.hypot(x, y, z) - 25);
    const mesh = isosurface(field, { within: WITHIN, cellMm: 1.5, steepest: 1e9 });
    expect(surfaceCheck(mesh)).toMatchObject({ manifold: true, shells: 1 });
    expect(volume(mesh)).toBeGreaterThan(0);
  });

  test('only the largest of several solids is kept', () => {
    const field: Field = (x, y, z) => Math.min(BALL(x, y, z), Math.hypot(x - 26, y - 26, z - 26) - 3);
    const mesh = isosurface(field, { within: WITHIN, cellMm: 1 });
    expect(surfaceCheck(mesh).shells).toBe(1);
    expect(bounds(mesh).maxMm[0]).toBeLessThan(20.1);
  });

  test('a surface is followed where the slope of its field is understated', () => {
    const mesh = isosurface((x, y, z) => 4 * BOX(x, y, z), { within: WITHIN, cellMm: 1 });
    expect(surfaceCheck(mesh)).toMatchObject({ manifold: true, shells: 1, genus: 0 });
  });

  test('a surface that leaves the bounds is a bug of the caller', () => {
    const within: Bounds = { minMm: [-30, -30, -30], maxMm: [30, 30, 0] };
    expect(() => isosurface(BALL, { within, cellMm: 1 })).toThrow(/bounds/);
  });
});

describe('cell cases', () => {
  const { numPatches, patchOfEdge } = cellCases();
  test('no patch where no corner differs, one at a single corner, four where corners alternate', () => {
    expect([numPatches[0], numPatches[255], numPatches[1], numPatches[0b01101001]]).toEqual([0, 0, 1, 4]);
  });

  test('every patch has at least three edges', () => {
    for (let mask = 0; mask < 256; mask++) {
      for (let patch = 0; patch < numPatches[mask]!; patch++) {
        const edges = patchOfEdge.subarray(mask * 12, mask * 12 + 12).filter((p) => p === patch);
        expect(edges.length).toBeGreaterThanOrEqual(3);
      }
    }
  });
});

/** A value of its own for each small box of space, about half of them negative. */
function chance(x: number, y: number, z: number, seed: number): number {
  const cell = (v: number): number => Math.round(v * 8);
  let a = Math.imul(cell(x), 0x9e3779b1) ^ Math.imul(cell(y), 0x85ebca6b) ^ Math.imul(cell(z) + seed, 0xc2b2ae35);
  a ^= a >>> 15;
  a = Math.imul(a, 0x2c1b3c6d);
  a ^= a >>> 12;
  a = Math.imul(a, 0x297a2d39);
  a ^= a >>> 15;
  return (a >>> 0) / 4294967296 - 0.55;
}
