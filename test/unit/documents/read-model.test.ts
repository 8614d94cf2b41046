// The one way in: formats told by bytes, units, welding, and what is said when the size is doubtful.
import { describe, expect, it } from 'vitest';
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
    [0.3, 5, /0.3 mm at its largest.*"m" would make it 300 mm/],
    [11, null, null],
    [4.9, 5, /"in" would make it 124 mm/],
    [3001, 3000, /3001 mm at its largest; no usual unit/],
  ] as const)('weighs a size of %s mm', (sizeMm, limit, say) => {
    const read = readModel(stl(box(sizeMm)));
    if (!read.ok) throw new Error(read.why);
    expect(read.findings.map((f) => [f.code, f.limit])).toEqual(limit === null ? [] : [['UNIT_DOUBTFUL', limit]]);
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
    ['an OBJ', text(`v 1 2 3\n${'v 0.25 0.5 0.75\n'.repeat(40)}f 1 2 3\n`), /OBJ mesh/],
    ['a PLY', text('ply\nformat ascii 1.0\n'), /PLY mesh/],
    ['numbers as text', text('0.12 0.34 0.56\n'.repeat(100)), /bytes 30 2e 31/],
    ['a few bytes', Uint8Array.of(1, 2, 3), /bytes 01 02 03/],
  ])('refuses %s and says what it reads', (_what, bytes, why) => {
    const read = readModel(bytes);
    expect(read).toMatchObject({ ok: false, code: 'FILE_KIND_UNKNOWN' });
    if (!read.ok) expect(read.why).toMatch(why);
    if (!read.ok) expect(read.why).toContain('STL (binary or text) and 3MF are read');
  });
  it.each([
    ['an empty file', new Uint8Array(0), 'FILE_UNREADABLE'],
    ['a solid without triangles', text('solid a\nendsolid a\n'), 'MESH_EMPTY'],
    ['a triangle without area only', stl(meshOf(new Float64Array(9), Uint32Array.of(0, 1, 2))), 'MESH_EMPTY'],
    ['a file cut off', stl(box(200)).subarray(0, 300), 'FILE_TRUNCATED'],
  ])('refuses %s', (_what, bytes, code) => expect(readModel(bytes)).toMatchObject({ ok: false, code }));
});
