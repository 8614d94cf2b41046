// The one way in: formats told by bytes, units, welding, and what is said when the size is doubtful.
import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../../src/base/work.ts';
import { readModel } from '../../../src/documents/read-model.ts';
import { writeStl } from '../../../src/documents/stl/write-stl.ts';
import { writeThreemf } from '../../../src/documents/threemf/write-threemf.ts';
import { bounds, sizeOf } from '../../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris, numVerts } from '../../../src/mesh/mesh.ts';

const text = (s: string) => new TextEncoder().encode(s);

/** A closed box with 8 vertices. */
function box(sizeMm: number, at = 0): Mesh {
  const positions = new Float64Array(24);
  for (let v = 0; v < 8; v++) positions.set([at + (v & 1) * sizeMm, ((v >> 1) & 1) * sizeMm, (v >> 2) * sizeMm], v * 3);
  const quads = [0, 2, 3, 1, 4, 5, 7, 6, 0, 1, 5, 4, 2, 6, 7, 3, 0, 4, 6, 2, 1, 3, 7, 5];
  const triangles: number[] = [];
  for (let q = 0; q < 24; q += 4) {
    const [a, b, c, d] = quads.slice(q, q + 4) as [number, number, number, number];
    triangles.push(a, b, c, a, c, d);
  }
  return meshOf(positions, Uint32Array.from(triangles));
}

const stl = (mesh: Mesh) => writeStl(mesh, { title: 'box' });

describe('readModel', () => {
  it('reads binary STL, welds it and takes it for millimetres', () => {
    const read = readModel(stl(box(200)));
    expect(read).toMatchObject({
      ok: true,
      value: { format: 'stl-binary', unit: 'mm', unitFrom: 'assumed' },
      findings: [],
    });
    if (!read.ok) return;
    expect([numVerts(read.value.mesh), numTris(read.value.mesh)]).toEqual([8, 12]);
    expect(sizeOf(bounds(read.value.mesh))).toEqual([200, 200, 200]);
  });
  it.each([
    ['cm', 10],
    ['m', 1000],
    ['in', 25.4],
    ['mm', 1],
  ] as const)('scales by the unit named, %s', (unit, factor) => {
    const read = readModel(stl(box(2)), { unit });
    expect(read).toMatchObject({ ok: true, value: { unit, unitFrom: 'option' }, findings: [] });
    if (read.ok) expect(sizeOf(bounds(read.value.mesh))[0]).toBeCloseTo(2 * factor, 9);
  });
  it.each([
    [
      0.3,
      'm',
      'guessed',
      300,
      'UNIT_GUESSED',
      /taken in metres, which makes it 300 mm; it would be 0.3 mm in millimetres/,
    ],
    [4.9, 'in', 'guessed', 124.46, 'UNIT_GUESSED', /taken in inches/],
    [11, 'in', 'guessed', 279.4, 'UNIT_GUESSED', /279 mm; it would be 11 mm in millimetres, 110 mm in centimetres/],
    [17.4, 'cm', 'guessed', 174, 'UNIT_GUESSED', /174 mm/],
    [25, 'mm', 'assumed', 25, null, null],
    [34, 'mm', 'assumed', 34, null, null],
    [1500, 'mm', 'assumed', 1500, null, null],
    [2.5, 'mm', 'assumed', 2.5, 'UNIT_DOUBTFUL', /2.5 mm at its largest; no usual unit/],
    [3001, 'mm', 'assumed', 3001, 'UNIT_DOUBTFUL', /3001 mm at its largest; no usual unit/],
  ] as const)('takes a size of %s without a unit in %s, %s', (size, unit, unitFrom, mm, code, say) => {
    const read = readModel(stl(box(size)));
    if (!read.ok) throw new Error(read.why);
    expect(read.value).toMatchObject({ unit, unitFrom });
    expect(sizeOf(bounds(read.value.mesh))[0]).toBeCloseTo(mm, 4);
    expect(read.findings.map((f) => f.code)).toEqual(code === null ? [] : [code]);
    if (say !== null) expect(read.findings[0]?.say).toMatch(say);
  });
  it('joins all items of a 3MF and knows its unit', () => {
    const read = readModel(
      writeThreemf([
        { name: 'a', mesh: box(20) },
        { name: 'b', mesh: box(30) },
      ]),
    );
    expect(read).toMatchObject({ ok: true, value: { format: '3mf', unit: 'mm', unitFrom: 'file' }, findings: [] });
    if (read.ok) expect([numVerts(read.value.mesh), numTris(read.value.mesh)]).toEqual([16, 24]);
  });
  it('lets the maker overrule the unit of a 3MF', () => {
    const read = readModel(writeThreemf([{ name: 'a', mesh: box(20) }]), { unit: 'cm' });
    expect(read.ok && [read.value.unitFrom, sizeOf(bounds(read.value.mesh))[0]]).toEqual(['option', 200]);
  });
  it('leaves out triangles that weld to a line and says so', () => {
    const { positions, triangles } = box(200);
    const read = readModel(stl(meshOf(positions, Uint32Array.of(...triangles, 3, 3, 5))));
    expect(read.ok && [numTris(read.value.mesh), read.findings[0]?.code]).toEqual([12, 'TRIANGLES_COLLAPSED']);
  });
  it.each([
    ['a PNG', Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, ...new Array(200).fill(7)), /PNG picture/],
    ['a STEP model', text(`ISO-10303-21;\n${'HEADER;\n'.repeat(40)}`), /STEP model/],
    ['a page', text('<!doctype html><html></html>'), /XML or HTML text/],
    ['numbers as text', text('0.12 0.34 0.56\n'.repeat(100)), /bytes 30 2e 31/],
    ['a few bytes', Uint8Array.of(1, 2, 3), /bytes 01 02 03/],
  ])('refuses %s and says what it reads', (_what, bytes, why) => {
    const read = readModel(bytes);
    expect(read).toMatchObject({ ok: false, code: 'FILE_KIND_UNKNOWN' });
    if (!read.ok) expect(read.why).toMatch(why);
    if (!read.ok) expect(read.why).toContain('STL, OBJ, PLY, OFF, glTF and 3MF are read');
  });
  it.each([
    ['stl-binary', stl(box(200)), 1],
    [
      'stl-ascii',
      text('solid a\nfacet\nouter loop\nvertex 0 0 0\nvertex 99 0 0\nvertex 0 99 0\nendloop\nendfacet\nendsolid'),
      1,
    ],
    ['obj', text('# made\r\no a\r\nv 0 0 0\r\nv 99 0 0\r\nv 0 99 0\r\nf 1 2 3\r\n'), 1],
    ['obj', text('v 0 0 0 1 0 0\nv 99 0 0\nv 0 99 0\ng a\nf 1 2 3\ng b\nf 3 2 1\n'), 2],
    [
      'ply',
      text(
        'ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0 99 0 0 0 99 0 3 0 1 2',
      ),
      1,
    ],
    ['off', text('# made\nOFF\n3 1 0\n0 0 0\n99 0 0\n0 99 0\n3 0 1 2\n'), 1],
    [
      'gltf',
      text(
        JSON.stringify({
          asset: { version: '2.0' },
          meshes: [{ primitives: [{ attributes: { POSITION: 0 } }] }],
          accessors: [{ componentType: 5126, count: 3, type: 'VEC3', bufferView: 0 }],
          bufferViews: [{ buffer: 0, byteLength: 36 }],
          buffers: [
            {
              byteLength: 36,
              uri: `data:;base64,${Buffer.from(Float32Array.of(0, 0, 0, 0.099, 0, 0, 0, 0.099, 0).buffer).toString('base64')}`,
            },
          ],
        }),
      ),
      1,
    ],
  ] as const)('tells %s by its bytes', (format, bytes, parts) => {
    const read = readModel(bytes);
    if (!read.ok) throw new Error(read.why);
    expect(read.value).toMatchObject({ format, parts });
    expect(sizeOf(bounds(read.value.mesh))[0]).toBeCloseTo(format === 'stl-binary' ? 200 : 99, 4);
  });
  it('doubts metres that were written as millimetres', () => {
    const bytes = text(
      JSON.stringify({
        asset: { version: '2.0' },
        meshes: [{ primitives: [{ attributes: { POSITION: 0 } }] }],
        accessors: [{ componentType: 5126, count: 3, type: 'VEC3', bufferView: 0 }],
        bufferViews: [{ buffer: 0, byteLength: 36 }],
        buffers: [
          {
            byteLength: 36,
            uri: `data:;base64,${Buffer.from(Float32Array.of(0, 0, 0, 200, 0, 0, 0, 150, 0).buffer).toString('base64')}`,
          },
        ],
      }),
    );
    const read = readModel(bytes);
    expect(read).toMatchObject({
      ok: true,
      value: { unit: 'm', unitFrom: 'file' },
      findings: [{ code: 'UNIT_DOUBTFUL', limit: 3000 }],
    });
    if (read.ok)
      expect(read.findings[0]?.say).toMatch(/200000 mm at its largest; if it was written in millimetres, name "mm"/);
    const again = readModel(bytes, { unit: 'mm' });
    if (again.ok) expect(sizeOf(bounds(again.value.mesh))[0]).toBeCloseTo(200, 9);
  });
  it('can be cancelled while it reads', () => {
    const work = {
      seed: 1,
      tick: () => {
        throw new Cancelled();
      },
    };
    expect(() => readModel(stl(box(200)), {}, work)).toThrow(Cancelled);
  });
  it.each([
    ['an empty file', new Uint8Array(0), 'FILE_UNREADABLE'],
    ['a solid without triangles', text('solid a\nendsolid a\n'), 'MESH_EMPTY'],
    ['a triangle without area only', stl(meshOf(new Float64Array(9), Uint32Array.of(0, 1, 2))), 'MESH_EMPTY'],
    ['a file cut off', stl(box(200)).subarray(0, 300), 'FILE_TRUNCATED'],
  ])('refuses %s', (_what, bytes, code) => expect(readModel(bytes)).toMatchObject({ ok: false, code }));
});
