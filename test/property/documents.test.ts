// Laws of reading and writing on random meshes.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readModel } from '../../src/documents/read-model.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { readThreemf } from '../../src/documents/threemf/read-threemf.ts';
import { writeThreemf } from '../../src/documents/threemf/write-threemf.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';

const SEED = 90210;
const OPTIONS = { seed: SEED, numRuns: 150 };

/** Any triangles over any finite single-precision points; no surface at all, mostly. */
const anyMesh: fc.Arbitrary<Mesh> = fc
  .tuple(
    fc.array(fc.float({ noNaN: true, noDefaultInfinity: true }), { minLength: 9, maxLength: 60 }),
    fc.array(fc.nat(), { minLength: 3, maxLength: 90 }),
  )
  .map(([numbers, picks]) => {
    const positions = Float64Array.from(numbers.slice(0, numbers.length - (numbers.length % 3)));
    const triangles = picks.slice(0, picks.length - (picks.length % 3)).map((pick) => pick % (positions.length / 3));
    return meshOf(positions, Uint32Array.from(triangles));
  });

function cornersOf(mesh: Mesh): Float32Array {
  const corners = new Float32Array(mesh.triangles.length * 3);
  mesh.triangles.forEach((v, h) => {
    corners.set(mesh.positions.subarray(v * 3, v * 3 + 3), h * 3);
  });
  return corners;
}

function asText(mesh: Mesh): Uint8Array {
  const c = cornersOf(mesh);
  let out = 'solid any\n';
  for (let i = 0; i < c.length; i += 9) {
    out += 'facet normal 0 0 0\nouter loop\n';
    for (let k = i; k < i + 9; k += 3) out += `vertex ${c[k]} ${c[k + 1]} ${c[k + 2]}\n`;
    out += 'endloop\nendfacet\n';
  }
  return new TextEncoder().encode(`${out}endsolid any\n`);
}

describe(`documents (seed ${SEED})`, () => {
  it('binary STL gives every corner back, bit by bit', () => {
    fc.assert(
      fc.property(anyMesh, (mesh) => {
        const read = readStl(writeStl(mesh, { title: 'any' }));
        expect(read.ok && read.value.corners).toEqual(cornersOf(mesh));
      }),
      OPTIONS,
    );
  });
  it('text STL says the same as binary STL', () => {
    fc.assert(
      fc.property(anyMesh, (mesh) => {
        const read = readStl(asText(mesh));
        expect(read.ok && read.value.corners.map((v) => v + 0)).toEqual(cornersOf(mesh).map((v) => v + 0));
      }),
      OPTIONS,
    );
  });
  it('3MF gives vertices and triangles back, bit by bit', () => {
    fc.assert(
      fc.property(anyMesh, (mesh) => {
        const read = readThreemf(writeThreemf([{ name: 'any', mesh }], { placement: 'as-is' }));
        if (!read.ok) throw new Error(read.why);
        const back = read.value.items[0]!.mesh;
        expect(back.triangles).toEqual(mesh.triangles);
        expect(back.positions.map((v) => v + 0)).toEqual(mesh.positions.map((v) => v + 0));
      }),
      OPTIONS,
    );
  });
  it('the way in does not depend on the format', () => {
    fc.assert(
      fc.property(anyMesh, (mesh) => {
        const fromStl = readModel(writeStl(mesh, { title: 'any' }), { unit: 'mm' });
        const fromThreemf = readModel(writeThreemf([{ name: 'any', mesh }], { placement: 'as-is' }), { unit: 'mm' });
        expect(fromThreemf.ok).toBe(fromStl.ok);
        if (fromStl.ok && fromThreemf.ok) expect(fromThreemf.value.mesh).toEqual(fromStl.value.mesh);
      }),
      OPTIONS,
    );
  });
});
