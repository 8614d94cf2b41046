// Binary STL as written: layout, normals, title, and what comes back when it is read.
import { describe, expect, it } from 'vitest';
import { readStl } from '../../../../src/documents/stl/read-stl.ts';
import { writeStl } from '../../../../src/documents/stl/write-stl.ts';
import { meshOf } from '../../../../src/mesh/mesh.ts';

const TRIANGLE = meshOf(Float64Array.of(0.1, 0, 0, 2, 0, 0, 0, 3, 0), Uint32Array.of(0, 1, 2));

describe('writeStl', () => {
  it('has 84 + 50 n bytes and the count', () => {
    const bytes = writeStl(TRIANGLE, { title: 'ear' });
    expect(bytes.length).toBe(134);
    expect(new DataView(bytes.buffer).getUint32(80, true)).toBe(1);
  });
  it('writes the unit normal by the right-hand rule', () => {
    const view = new DataView(writeStl(TRIANGLE, { title: 'ear' }).buffer);
    expect([84, 88, 92].map((at) => view.getFloat32(at, true))).toEqual([0, 0, 1]);
  });
  it('writes 0 0 0 as normal of a triangle without area', () => {
    const flat = meshOf(TRIANGLE.positions, Uint32Array.of(0, 1, 1));
    const view = new DataView(writeStl(flat, { title: 'ear' }).buffer);
    expect([84, 88, 92].map((at) => view.getFloat32(at, true))).toEqual([0, 0, 0]);
  });
  it.each(['solid helm', 'SOLID', ' Solid x', 'größe', 'x'.repeat(200)])(
    'is read back as binary with the title %s',
    (title) => {
      const read = readStl(writeStl(TRIANGLE, { title }));
      expect(read.ok && read.value.kind).toBe('binary');
      if (read.ok) expect(read.value.corners).toEqual(Float32Array.of(0.1, 0, 0, 2, 0, 0, 0, 3, 0));
      expect(read.ok && read.value.name?.toLowerCase().startsWith('solid')).toBe(false);
    },
  );
  it('gives the same bytes for the same mesh', () => {
    expect(writeStl(TRIANGLE, { title: 'a' })).toEqual(writeStl(TRIANGLE, { title: 'a' }));
  });
  it('takes a coordinate beyond single precision for a bug', () => {
    const far = meshOf(Float64Array.of(1e39, 0, 0, 1, 0, 0, 0, 1, 0), Uint32Array.of(0, 1, 2));
    expect(() => writeStl(far, { title: 'a' })).toThrow(/invariant/);
  });
});
