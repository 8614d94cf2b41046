import { describe, expect, it } from 'vitest';
import { box, icoSphere } from '../../../src/mesh/builders.ts';
import { meshOf, numTris, numVerts } from '../../../src/mesh/mesh.ts';
import { compactMesh, weldMesh, weldSoup } from '../../../src/mesh/weld.ts';
import { soupOf } from '../../support/random-mesh.ts';

const TRIANGLE = [0, 0, 0, 1, 0, 0, 0, 1, 0];

describe('weldSoup', () => {
  it('joins the corners of a box into eight vertices, numbered in order of first use', () => {
    const { mesh, dropped } = weldSoup(soupOf(box([0, 0, 0], [1, 2, 3])));
    expect([numVerts(mesh), numTris(mesh), dropped]).toEqual([8, 12, 0]);
    expect(Array.from(mesh.triangles.slice(0, 6))).toEqual([0, 1, 2, 2, 1, 3]);
  });

  it.each([
    ['single', Float32Array],
    ['double', Float64Array],
  ] as const)('takes -0 for 0 in %s precision and writes 0', (_, Kind) => {
    const { mesh } = weldSoup(Kind.from([...TRIANGLE, -0, -0, -0, 0, 1, -0, -1, -0, 0]));
    expect(numVerts(mesh)).toBe(4);
    expect(mesh.positions.some((v) => Object.is(v, -0))).toBe(false);
  });

  it('keeps apart what differs in the last bit', () => {
    const moved = TRIANGLE.map((v) => (v === 1 ? 1 + 2 ** -23 : v));
    expect(numVerts(weldSoup(Float32Array.from([...TRIANGLE, ...moved])).mesh)).toBe(5);
  });

  it('drops triangles with a repeated corner, counts them, and forgets vertices only they used', () => {
    const { mesh, dropped } = weldSoup(Float64Array.from([...TRIANGLE, 9, 9, 9, 9, 9, 9, 0, 0, 0]));
    expect([numVerts(mesh), numTris(mesh), dropped]).toEqual([3, 1, 1]);
  });

  it('gives an empty mesh for nothing and leaves out an incomplete triangle', () => {
    expect(numTris(weldSoup(new Float32Array(0)).mesh)).toBe(0);
    expect(numTris(weldSoup(Float64Array.from([...TRIANGLE, 1, 2, 3])).mesh)).toBe(1);
  });

  it('outgrows its first table when no corner is shared', () => {
    const corners = Float32Array.from({ length: 9 * 5000 }, (_, i) => i);
    expect(numVerts(weldSoup(corners).mesh)).toBe(15000);
  });
});

describe('weldMesh and compactMesh', () => {
  it('join equal positions of an indexed mesh', () => {
    const ball = icoSphere(10, 2);
    const split = meshOf(
      soupOf(ball),
      Uint32Array.from({ length: ball.triangles.length }, (_, i) => i),
    );
    expect(numVerts(weldMesh(split).mesh)).toBe(numVerts(ball));
  });

  it('leave out unused vertices, keep order, and return the same mesh when there are none', () => {
    const mesh = meshOf(Float64Array.from([7, 7, 7, ...TRIANGLE]), Uint32Array.from([1, 2, 3]));
    expect(Array.from(compactMesh(mesh).positions)).toEqual(TRIANGLE);
    expect(compactMesh(compactMesh(mesh))).toEqual(compactMesh(mesh));
    const ball = icoSphere(1, 0);
    expect(compactMesh(ball)).toBe(ball);
  });
});
