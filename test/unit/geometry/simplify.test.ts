// Simplifying keeps a surface closed, its handles, its size and its edges.
import { describe, expect, test } from 'vitest';
import { isosurface } from '../../../src/geometry/isosurface/isosurface.ts';
import { simplifyClosed } from '../../../src/geometry/simplify.ts';
import { box, icoSphere, torus } from '../../../src/mesh/builders.ts';
import { volume } from '../../../src/mesh/measure.ts';
import { numTris } from '../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../src/mesh/topology.ts';

describe('simplifyClosed', () => {
  test.each([
    { name: 'ball', mesh: icoSphere(50, 5), triangles: 2000, genus: 0, lossShare: 0.006 },
    { name: 'ring', mesh: torus({ majorMm: 40, minorMm: 12 }, 120, 60), triangles: 1800, genus: 1, lossShare: 0.01 },
  ])('a $name keeps its handles and nearly its volume', ({ mesh, triangles, genus, lossShare }) => {
    const less = simplifyClosed(mesh, { triangles });
    expect(numTris(less)).toBe(triangles);
    expect(surfaceCheck(less)).toMatchObject({ manifold: true, shells: 1, genus });
    expect(Math.abs(volume(less) / volume(mesh) - 1)).toBeLessThan(lossShare);
  });

  test('a finely meshed box goes back to few triangles without losing its corners', () => {
    const within = { minMm: [-25, -25, -25], maxMm: [25, 25, 25] } as const;
    const fine = isosurface((x, y, z) => Math.max(Math.abs(x), Math.abs(y), Math.abs(z)) - 20, { within, cellMm: 1 });
    const less = simplifyClosed(fine, { triangles: 100 });
    expect(surfaceCheck(less)).toMatchObject({ manifold: true, genus: 0 });
    expect(volume(less) / 64000).toBeCloseTo(1, 2);
  });

  test('stops before an error larger than allowed', () => {
    const mesh = icoSphere(50, 4);
    const less = simplifyClosed(mesh, { triangles: 4, mostMm: 0.05 });
    expect(numTris(less)).toBeGreaterThan(400);
    expect(numTris(less)).toBeLessThan(numTris(mesh));
  });

  test('what is small enough comes back as it is', () => {
    const mesh = box([0, 0, 0], [1, 2, 3]);
    expect(simplifyClosed(mesh, { triangles: 12 })).toBe(mesh);
  });

  test('a tetrahedron-like rest is never collapsed to nothing', () => {
    const less = simplifyClosed(icoSphere(10, 2), { triangles: 0 });
    expect(surfaceCheck(less)).toMatchObject({ manifold: true, genus: 0 });
  });

  test('an open surface is a bug of the caller', () => {
    const mesh = box([0, 0, 0], [1, 1, 1]);
    const open = { ...mesh, triangles: mesh.triangles.slice(3) };
    expect(() => simplifyClosed(open, { triangles: 4 })).toThrow(/closed/);
  });
});
