// 3MF: units, placements, names and refusals when reading; spreading, naming and exact numbers when writing.
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { joinItems, readThreemf } from '../../../../src/documents/threemf/read-threemf.ts';
import { writeThreemf } from '../../../../src/documents/threemf/write-threemf.ts';
import { bounds, volume } from '../../../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris } from '../../../../src/mesh/mesh.ts';

const text = (s: string) => new TextEncoder().encode(s);
const NS = 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"';
const PROD = 'xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06"';
const START = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';
/** A tetrahedron of volume 1/6. */
const MESH =
  '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices>' +
  '<triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh>';
const ONE = `<resources><object id="1" name="tip">${MESH}</object></resources><build><item objectid="1"/></build>`;

function packed(parts: Readonly<Record<string, string>>, target = '/3D/3dmodel.model'): Uint8Array {
  const rels = `<Relationships><Relationship Target="${target}" Id="r" Type="${START}"/></Relationships>`;
  const files: Record<string, Uint8Array> = { '_rels/.rels': text(rels) };
  for (const [name, xml] of Object.entries(parts)) files[name] = text(xml);
  return zipSync(files);
}
const model = (inside: string, attributes = NS) =>
  packed({ '3D/3dmodel.model': `<model ${attributes}>${inside}</model>` });

function joined(bytes: Uint8Array): Mesh {
  const read = readThreemf(bytes);
  if (!read.ok) throw new Error(read.why);
  return joinItems(read.value.items);
}

describe('readThreemf', () => {
  it('reads items with their names', () => {
    const read = readThreemf(model(ONE));
    expect(read).toMatchObject({ ok: true, value: { unit: 'millimeter', items: [{ name: 'tip' }] } });
    expect(volume(joined(model(ONE)))).toBeCloseTo(1 / 6, 12);
  });
  it.each([
    ['micron', 0.001],
    ['millimeter', 1],
    ['centimeter', 10],
    ['inch', 25.4],
    ['foot', 304.8],
    ['meter', 1000],
  ])('scales %s', (unit, mm) => expect(bounds(joined(model(ONE, `unit="${unit}" ${NS}`))).maxMm[0]).toBeCloseTo(mm, 9));
  it('places items row by row: x y z 1 times the matrix', () => {
    const item = '<item objectid="1" transform="0 1 0 0 0 2 3 0 0 10 20 30"/>';
    const box = bounds(joined(model(ONE.replace('<item objectid="1"/>', item))));
    expect([box.minMm, box.maxMm]).toEqual([
      [10, 20, 30],
      [13, 21, 32],
    ]);
  });
  it('turns triangles round under a mirror, so that the volume stays positive', () => {
    const item = '<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>';
    expect(volume(joined(model(ONE.replace('<item objectid="1"/>', item))))).toBeCloseTo(1 / 6, 12);
  });
  it('chains transforms of nested components, the innermost first', () => {
    const inside =
      `<resources><object id="1">${MESH}</object>` +
      '<object id="2"><components><component objectid="1" transform="2 0 0 0 2 0 0 0 2 1 0 0"/><component objectid="1"/></components></object>' +
      '<object id="3"><components><component objectid="2" transform="1 0 0 0 1 0 0 0 1 0 5 0"/></components></object></resources>' +
      '<build><item objectid="3"/><item objectid="2"/></build>';
    const read = readThreemf(model(inside));
    if (!read.ok) throw new Error(read.why);
    expect(
      read.value.items.map((item) => [numTris(item.mesh), bounds(item.mesh).minMm, bounds(item.mesh).maxMm]),
    ).toEqual([
      [8, [0, 5, 0], [3, 7, 2]],
      [8, [0, 0, 0], [3, 2, 2]],
    ]);
  });
  it('follows the start part wherever it lies and whatever its letters', () => {
    expect(readThreemf(packed({ 'x/Y.model': `<model ${NS}>${ONE}</model>` }, '/X/y.MODEL')).ok).toBe(true);
  });
  it('reads components out of other parts', () => {
    const root = `<model ${NS} ${PROD} requiredextensions="p"><resources><object id="9" name="whole"><components><component objectid="1" p:path="/3D/o.model"/></components></object></resources><build><item objectid="9"/></build></model>`;
    const read = readThreemf(packed({ '3D/3dmodel.model': root, '3D/o.model': `<model ${NS}>${ONE}</model>` }));
    expect(read.ok && [read.value.items[0]?.name, numTris(read.value.items[0]!.mesh)]).toEqual(['whole', 4]);
  });
  it('takes a prefix for the core names, white space round numbers, comments, foreign elements, UTF-16', () => {
    const prefixed = `<c:model xmlns:c="${NS.slice(7, -1)}">${ONE.replace(/<(\/?)(\w)/g, '<$1c:$2')}</c:model>`;
    expect(numTris(joined(packed({ '3D/3dmodel.model': prefixed })))).toBe(4);
    const spaced = ONE.replaceAll('="1"', '=" 1 "').replace(
      '<triangles>',
      '<!-- x --><y:z xmlns:y="u"><y:vertex/></y:z><triangles>',
    );
    expect(numTris(joined(model(spaced)))).toBe(4);
    const utf16 = new Uint8Array(Buffer.from(`\ufeff<model ${NS}>${ONE}</model>`, 'utf16le'));
    const files = { '_rels/.rels': text(`<R><Relationship Target="/m" Type="${START}"/></R>`), m: utf16 };
    expect(numTris(joined(zipSync(files)))).toBe(4);
  });
  it.each(['nan', '-inf', '1e40'])('leaves out triangles with a corner of %s and says where', (z) => {
    const read = readThreemf(model(ONE.replace('z="1"', `z="${z}"`)));
    if (!read.ok) throw new Error(read.why);
    expect(numTris(read.value.items[0]!.mesh)).toBe(1);
    expect(read.findings).toMatchObject([{ code: 'CORNERS_NOT_FINITE', measured: 3 }]);
    expect(read.findings[0]?.say).toMatch(/3 of 4 triangles .*vertex 3, byte \d+ of the model part/);
  });
  it('leaves out objects that are support', () => {
    expect(readThreemf(model(ONE.replace('<object', '<object type="support"')))).toMatchObject({
      ok: true,
      value: { items: [] },
    });
  });
  const item = '<build><item objectid="1"/></build>';
  const components = (list: string) => `<components>${list}</components>`;
  it.each([
    ['xml:space', model(ONE, `xml:space="default" ${NS}`), 'FILE_MALFORMED', /xml:space/],
    [
      'xml:space deep inside',
      model(ONE.replace('<build', '<build xml:space="preserve"')),
      'FILE_MALFORMED',
      /xml:space/,
    ],
    ['a foreign unit', model(ONE, `unit="cubit" ${NS}`), 'FILE_MALFORMED', /cubit/],
    ['another namespace', model(ONE, 'xmlns="urn:x"'), 'FILE_MALFORMED', /namespace/],
    ['a vertex that is not there', model(ONE.replace('v3="3"', 'v3="4"')), 'FILE_MALFORMED', /vertex 4 of 4/],
    ['a negative vertex', model(ONE.replace('v3="3"', 'v3="-1"')), 'FILE_MALFORMED', /three vertex numbers/],
    ['a vertex without z', model(ONE.replace('z="1"', '')), 'FILE_MALFORMED', /vertex 3 has not three numbers/],
    [
      'only coordinates that are not finite',
      model(ONE.replaceAll('x="0"', 'x="nan"')),
      'COORDINATE_NOT_FINITE',
      /All 4 triangles .*vertex 0/,
    ],
    [
      'a transform that is not finite',
      model(ONE.replace('objectid="1"', 'objectid="1" transform="inf 0 0 0 1 0 0 0 1 0 0 0"')),
      'COORDINATE_NOT_FINITE',
      /transform/,
    ],
    [
      'a transform too large',
      model(ONE.replace('objectid="1"', 'objectid="1" transform="1 0 0 0 1 0 0 0 1 1e308 0 0"'), `unit="meter" ${NS}`),
      'COORDINATE_NOT_FINITE',
      /./,
    ],
    [
      'a transform that flattens',
      model(ONE.replace('objectid="1"', 'objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"')),
      'FILE_MALFORMED',
      /flattens/,
    ],
    [
      'eleven numbers',
      model(ONE.replace('objectid="1"', 'objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0"')),
      'FILE_MALFORMED',
      /12 numbers/,
    ],
    [
      'an object that is not there',
      model(ONE.replace('objectid="1"', 'objectid="7"')),
      'FILE_MALFORMED',
      /"7" is used/,
    ],
    [
      'an object twice',
      model(ONE.replace('</resources>', `<object id="1">${MESH}</object></resources>`)),
      'FILE_MALFORMED',
      /id 1/,
    ],
    [
      'an object within itself',
      model(`<resources><object id="1">${components('<component objectid="1"/>')}</object></resources>${item}`),
      'FILE_MALFORMED',
      /contains itself/,
    ],
    [
      'an unknown extension',
      model(ONE, `${NS} xmlns:q="urn:q" requiredextensions="q"`),
      'THREEMF_NEEDS_EXTENSION',
      /urn:q/,
    ],
    ['no build', model(`<resources><object id="1">${MESH}</object></resources>`), 'FILE_MALFORMED', /build/],
    [
      'a document type',
      packed({ '3D/3dmodel.model': `<!DOCTYPE x [<!ENTITY a "b">]><model ${NS}>${ONE}</model>` }),
      'FILE_MALFORMED',
      /document type/,
    ],
    ['a start part that is not there', packed({}), 'FILE_MALFORMED', /no part "\/3D\/3dmodel.model"/],
    ['a zip of something else', zipSync({ 'helmet.stl': text('solid') }), 'FILE_KIND_UNKNOWN', /no 3MF/],
  ])('refuses %s', (_what, bytes, code, why) => {
    const read = readThreemf(bytes);
    expect(read).toMatchObject({ ok: false, code });
    if (!read.ok) expect(read.why).toMatch(why);
  });
});

describe('writeThreemf', () => {
  const piece = (x: number): Mesh =>
    meshOf(
      Float64Array.of(x, 0, -2, x + 30, 0.1, 0, x, 20, 0, x, 0, 1 / 3),
      Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3),
    );
  it('gives names and numbers back, to the last bit of single precision', () => {
    const read = readThreemf(writeThreemf([{ name: 'A "crown" <left>', mesh: piece(0.7) }], { placement: 'as-is' }));
    if (!read.ok) throw new Error(read.why);
    expect(read.value.items[0]?.name).toBe('A "crown" <left>');
    expect(read.value.items[0]?.mesh.positions).toEqual(Float64Array.from(Float32Array.from(piece(0.7).positions)));
    expect(read.value.items[0]?.mesh.triangles).toEqual(piece(0.7).triangles);
  });
  it('spreads pieces: all positive, none inside another, gaps kept', () => {
    const pieces = Array.from({ length: 7 }, (_, i) => ({ name: `p${i}`, mesh: piece(-i * 5) }));
    const read = readThreemf(writeThreemf(pieces, { gapMm: 8 }));
    if (!read.ok) throw new Error(read.why);
    const boxes = read.value.items.map((item) => bounds(item.mesh));
    for (const box of boxes) for (const low of box.minMm) expect(low).toBeGreaterThanOrEqual(-1e-9);
    for (const [i, a] of boxes.entries())
      for (const b of boxes.slice(i + 1)) {
        const apart = [0, 1].map((c) => Math.max(a.minMm[c]! - b.maxMm[c]!, b.minMm[c]! - a.maxMm[c]!));
        expect(Math.max(...apart)).toBeGreaterThan(8 - 0.01);
      }
  });
  it('gives the same bytes twice, and packs with what is handed in', () => {
    const pieces = [{ name: 'a', mesh: piece(0) }];
    expect(writeThreemf(pieces)).toEqual(writeThreemf(pieces));
    const packs: number[] = [];
    writeThreemf(pieces, { deflate: (bytes) => bytes.subarray(0, packs.push(bytes.length)) });
    expect(packs.length).toBe(3);
  });
  it('takes a coordinate beyond single precision for a bug', () => {
    expect(() => writeThreemf([{ name: 'a', mesh: piece(1e39) }])).toThrow(/invariant/);
  });
});
