// Truncated and swollen files: a reader answers with a value or a refusal, never with an exception, and soon.
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../src/base/work.ts';
import { readModel } from '../../src/documents/read-model.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { readThreemf } from '../../src/documents/threemf/read-threemf.ts';
import { writeThreemf } from '../../src/documents/threemf/write-threemf.ts';
import { writeZip } from '../../src/documents/zip/write-zip.ts';
import { meshOf } from '../../src/mesh/mesh.ts';
import { asGlb, asJson, tipScene } from '../unit/documents/gltf/gltf-fixture.ts';

const text = (s: string) => new TextEncoder().encode(s);
const TIP = meshOf(
  Float64Array.of(0, 0, 0, 100, 0, 0, 0, 100, 0, 0, 0, 100.25),
  Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3),
);
const NS = 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"';
const START = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';
const RELS = `<R><Relationship Target="/m" Type="${START}"/></R>`;
const stored = (bytes: Uint8Array) => bytes;

const BINARY = writeStl(TIP, { title: 'tip' });
const ASCII = text(
  `solid tip\n${'facet normal 0 0 1\n outer loop\n vertex 0 0 0\n vertex 1.5e2 0 0\n vertex 0 12.25 0\n endloop\nendfacet\n'.repeat(3)}endsolid tip\n`,
);
const PACKED = writeThreemf([{ name: 'tip', mesh: TIP }]);
const MODEL_XML = `<?xml version="1.0"?><model unit="millimeter" ${NS}><resources><object id="1"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/></vertices><triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh></object><object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components></object></resources><build><item objectid="2"/></build></model>`;

/** The archive around a model part, built by hand so that mutations reach the XML and not the check sum. */
const packedXml = (xml: Uint8Array) => zipSync({ '_rels/.rels': [text(RELS), { level: 0 }], m: [xml, { level: 0 }] });

const OBJ = text('o one\nv 0 0 0\nv 100 0 0.5\nv 1e2 100 -0\nv 0 +100.25 0 1\nf 1 2 3\nf -4//1 -2//2 \\\n -1//3\n');
const PLY = text(
  'ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n99 0 0\n0 99 0\n3 0 1 2\n',
);
const OFF = text('OFF\n# made\n4 2 0\n0 0 0\n100 0 0\n100 100 0\n0 1e2 0\n3 0 1 2\n4 0 1 2 3 255 0 0\n');

function answers(read: { ok: boolean }): boolean {
  return read.ok === true || read.ok === false;
}

describe('truncated at every length', () => {
  it.each([
    ['binary STL', BINARY],
    ['text STL', ASCII],
    ['3MF', PACKED],
    ['OBJ', OBJ],
    ['PLY', PLY],
    ['OFF', OFF],
    ['binary glTF', asGlb(tipScene())],
    ['glTF', asJson(tipScene())],
  ])('%s', (_what, bytes) => {
    for (let n = 0; n < bytes.length; n++) {
      const cut = bytes.subarray(0, n);
      expect(answers(readModel(cut))).toBe(true);
      expect(answers(readStl(cut))).toBe(true);
      expect(answers(readThreemf(cut))).toBe(true);
    }
  });
  it('a model part inside a whole archive', () => {
    const xml = text(MODEL_XML);
    for (let n = 0; n < xml.length; n++) expect(readThreemf(packedXml(xml.subarray(0, n))).ok).toBe(false);
    expect(readThreemf(packedXml(xml)).ok).toBe(true);
  });
});

const UNPACKED = packedXml(text(MODEL_XML));

describe('swollen', () => {
  it('a count of four billion costs no memory', () => {
    const bytes = BINARY.slice();
    new DataView(bytes.buffer).setUint32(80, 0xffffffff, true);
    expect(readStl(bytes)).toMatchObject({ ok: true, findings: [{ code: 'STL_COUNT_WRONG', limit: 0xffffffff }] });
  });
  it('a zip bomb is refused by what it announces', () => {
    const bomb = zipSync({ '_rels/.rels': text(RELS), m: new Uint8Array(20_000_000) });
    expect(readModel(bomb)).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
  });
  it('an archive that announces little and holds much is refused', () => {
    const bomb = zipSync({ m: new Uint8Array(20_000_000), '_rels/.rels': text(RELS) });
    const view = new DataView(bomb.buffer);
    const central = view.getUint32(bomb.length - 22 + 16, true);
    view.setUint32(central + 24, 1000, true);
    expect(readModel(bomb)).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it('sizes of 64 bits are believed only to be refused', () => {
    const bytes = UNPACKED.slice();
    const view = new DataView(bytes.buffer);
    const central = view.getUint32(bytes.length - 22 + 16, true);
    view.setUint32(central + 24, 0xffffffff, true);
    expect(readModel(bytes)).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
  });
  it('entities that grow are not expanded', () => {
    const bomb = `<!DOCTYPE m [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>${MODEL_XML.replace('<?xml version="1.0"?>', '')}`;
    expect(readThreemf(packedXml(text(bomb)))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it('components that multiply are counted, not built', () => {
    let objects = MODEL_XML.slice(MODEL_XML.indexOf('<object'), MODEL_XML.indexOf('<object id="2"'));
    for (let level = 2; level < 14; level++)
      objects += `<object id="${level}"><components>${`<component objectid="${level - 1}"/>`.repeat(10)}</components></object>`;
    const xml = `<model ${NS}><resources>${objects}</resources><build><item objectid="13"/></build></model>`;
    expect(readThreemf(packedXml(text(xml)))).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
  });
  it('deep nesting of components and of elements is refused', () => {
    let objects = MODEL_XML.slice(MODEL_XML.indexOf('<object'), MODEL_XML.indexOf('<object id="2"'));
    for (let level = 2; level < 40; level++)
      objects += `<object id="${level}"><components><component objectid="${level - 1}"/></components></object>`;
    const deep = `<model ${NS}><resources>${objects}</resources><build><item objectid="39"/></build></model>`;
    expect(readThreemf(packedXml(text(deep)))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
    expect(readThreemf(packedXml(text('<a>'.repeat(1_000_000))))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it('names that climb out of the archive are only names', () => {
    const climbing = {
      '_rels/.rels': RELS.replace('/m', '../../../etc/passwd'),
      '../../../etc/passwd': MODEL_XML,
      m: 'x',
    };
    const parts = Object.entries(climbing).map(([name, inside]) => ({ name, bytes: text(inside) }));
    expect(readThreemf(writeZip(parts)).ok).toBe(true);
    const missing = parts.filter((part) => !part.name.includes('passwd'));
    expect(readThreemf(writeZip(missing))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it('a part whose name is there twice is refused', () => {
    const parts = [RELS, MODEL_XML, MODEL_XML].map((inside, i) => ({
      name: ['_rels/.rels', 'm', 'M'][i]!,
      bytes: text(inside),
    }));
    expect(readThreemf(writeZip(parts))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
    expect(readThreemf(writeZip(parts.slice(0, 2), stored)).ok).toBe(false);
  });
  it('empty files and empty archives are refused', () => {
    expect(readModel(new Uint8Array(0))).toMatchObject({ ok: false, code: 'FILE_UNREADABLE' });
    expect(readModel(zipSync({}))).toMatchObject({ ok: false, code: 'FILE_KIND_UNKNOWN' });
  });
  it('objects placed again and again are counted, not built', () => {
    const rows = Array.from({ length: 1000 }, () => '<triangle v1="0" v2="1" v3="2"/>').join('');
    const mesh = MODEL_XML.slice(MODEL_XML.indexOf('<object'), MODEL_XML.indexOf('<object id="2"'));
    const large = mesh.replace('<triangle v1="0" v2="1" v3="2"/>', rows);
    const xml = `<model ${NS}><resources>${large}</resources><build>${'<item objectid="1"/>'.repeat(5000)}</build></model>`;
    const read = readThreemf(packedXml(text(xml)));
    expect(read).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
    if (!read.ok) expect(read.why).toMatch(/4000000 triangles placed again/);
  });
  it('a component that contains itself by another is refused', () => {
    const objects = [2, 3]
      .map((id) => `<object id="${id}"><components><component objectid="${5 - id}"/></components></object>`)
      .join('');
    const xml = `<model ${NS}><resources>${objects}</resources><build><item objectid="2"/></build></model>`;
    expect(readThreemf(packedXml(text(xml)))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it('JSON of a hundred thousand brackets is refused before it is parsed', () => {
    const deep = text(`{"asset":{"version":"2.0"},"x":${'['.repeat(1e5)}${']'.repeat(1e5)}}`);
    expect(readModel(deep)).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it('glTF meshes placed a hundred million times are counted, not built', () => {
    const primitives = Array.from({ length: 2000 }, () => ({ attributes: { POSITION: 0 }, indices: 1 }));
    const nodes = Array.from({ length: 50_000 }, () => ({ mesh: 0 }));
    const scene = tipScene({ meshes: [{ primitives }], nodes, scenes: [{ nodes: nodes.map((_, i) => i) }] });
    expect(readModel(asGlb(scene))).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
  });
  it('glTF nodes in a ring are refused', () => {
    const nodes = [{ children: [1] }, { children: [2] }, { children: [0] }];
    expect(readModel(asGlb(tipScene({ nodes })))).toMatchObject({ ok: false, code: 'FILE_MALFORMED' });
  });
  it.each([
    ['PLY', text(new TextDecoder().decode(PLY).replace('vertex 3', 'vertex 4000000000'))],
    ['OFF', text('OFF\n4000000000 4000000000 0\n0 0 0\n')],
    ['OFF, one face', text('OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n4000000000 0 1 2\n')],
    [
      'PLY, one list',
      text(new TextDecoder().decode(PLY).replace('uchar', 'uint').replace('3 0 1 2', '4000000000 0 1 2')),
    ],
  ])('counts of billions in %s cost no memory', (_what, bytes) =>
    expect(readModel(bytes)).toMatchObject({ ok: false, code: 'FILE_TRUNCATED' }),
  );
  it('a face of very many corners that turn every way is cut within its budget, or cancelled', () => {
    const corners = 6000;
    // a saw whose teeth lean over each other, so that nearly no corner is an ear
    const saw = Array.from(
      { length: corners },
      (_, i) => `v ${i % 2 === 0 ? i : i - 40} ${i % 2 === 0 ? 0 : 900 + (i % 5)} 0`,
    );
    const face = Array.from({ length: corners }, (_, i) => i + 1).join(' ');
    const bytes = text(`${saw.join('\n')}\nf ${face}\n`);
    expect(readModel(bytes).ok).toBe(true);
    let ticks = 0;
    const work = {
      seed: 1,
      tick: () => {
        if (++ticks > 3) throw new Cancelled();
      },
    };
    expect(() => readModel(bytes, {}, work)).toThrow(Cancelled);
  });
});
