// glTF: where nodes put meshes, every way numbers are kept, and what is refused before a number is read.
import { describe, expect, it } from 'vitest';
import { readGltf } from '../../../../src/documents/gltf/read-gltf.ts';
import { bounds, volume } from '../../../../src/mesh/measure.ts';
import { asGlb, asJson, sceneOf, tipScene } from './gltf-fixture.ts';

const text = (s: string) => new TextEncoder().encode(s);
/** mm3 of the tip, a thousand millimetres along each axis. */
const TIP_MM3 = 1e9 / 6;

function read(bytes: Uint8Array, resources?: (name: string) => Uint8Array | null) {
  const outcome = readGltf(bytes, resources === undefined ? {} : { resources });
  if (!outcome.ok) throw new Error(`${outcome.code}: ${outcome.why}`);
  const { mesh, parts } = outcome.value;
  return { mesh, parts, box: bounds(mesh), codes: outcome.findings.map((f) => f.code), findings: outcome.findings };
}

describe('kinds of file', () => {
  it('reads a binary file, JSON with data inside, and JSON with a file beside it alike', () => {
    const tip = tipScene();
    const asked: string[] = [];
    const beside = (name: string) => (asked.push(name) > 0 ? tip.bin : null);
    for (const { mesh } of [read(asGlb(tip)), read(asJson(tip)), read(asJson(tip, './my%20data.bin'), beside)]) {
      expect(volume(mesh)).toBeCloseTo(TIP_MM3, 0);
      expect(Array.from(mesh.triangles)).toEqual([0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3]);
    }
    expect(asked).toEqual(['my data.bin']);
  });
  it('notes bytes behind the announced end', () => {
    const glb = asGlb(tipScene());
    const longer = new Uint8Array(glb.length + 5);
    longer.set(glb);
    expect(read(longer).codes).toEqual(['TRAILING_BYTES']);
  });
  it.each([
    '../a.bin',
    '/etc/passwd',
    'a/b.bin',
    'a\\b.bin',
    'file:a.bin',
    'http://x.y/a.bin',
    '..%2fa.bin',
    '%2e%2e/a',
    '.hidden',
    '',
    'a%00b',
    '%zz',
    'C:a',
  ])('never asks for "%s"', (uri) => {
    const outcome = readGltf(asJson(tipScene(), uri), {
      resources: () => {
        throw new Error('asked');
      },
    });
    expect(outcome).toMatchObject({ ok: false, code: 'RESOURCE_REFUSED' });
  });
  it('names the file that is missing', () => {
    const outcome = readGltf(asJson(tipScene(), 'helm.bin'));
    expect(outcome).toMatchObject({ ok: false, code: 'RESOURCE_MISSING' });
    if (!outcome.ok) expect(outcome.why).toContain('"helm.bin"');
  });
});

describe('nodes', () => {
  it('chains shifts, turns and scales, in millimetres', () => {
    const half = Math.SQRT1_2;
    const nodes = [
      { children: [1], translation: [1, 0, 0] },
      { children: [2], rotation: [0, 0, half, half] },
      { mesh: 0, scale: [2, 1, 1], translation: [0, 0, 3] },
    ];
    const { box } = read(asGlb(tipScene({ nodes })));
    // scaled along x, turned a quarter from x to y, then shifted
    const wanted = { minMm: [0, 0, 3000], maxMm: [1000, 2000, 4000] };
    for (let c = 0; c < 3; c++) {
      expect(box.minMm[c]).toBeCloseTo(wanted.minMm[c]!, 9);
      expect(box.maxMm[c]).toBeCloseTo(wanted.maxMm[c]!, 9);
    }
  });
  it('takes matrices by columns, shear included', () => {
    const matrix = [1, 0, 0, 0, 0.5, 1, 0, 0, 0, 0, 1, 0, 7, 0, 0, 1];
    const { box, mesh } = read(asGlb(tipScene({ nodes: [{ mesh: 0, matrix }] })));
    expect([box.minMm, box.maxMm]).toEqual([
      [7000, 0, 0],
      [8000, 1000, 1000],
    ]);
    expect(Array.from(mesh.positions.subarray(6, 9))).toEqual([7500, 1000, 0]);
  });
  it('turns triangles round in a mirror, and back in a mirror of a mirror', () => {
    const nodes = [
      { children: [1], scale: [-1, 1, 1] },
      { mesh: 0, scale: [1, 1, -1] },
    ];
    expect(volume(read(asGlb(tipScene({ nodes }))).mesh)).toBeCloseTo(TIP_MM3, 0);
    expect(volume(read(asGlb(tipScene({ nodes: [{ mesh: 0, scale: [1, -1, 1] }] }))).mesh)).toBeCloseTo(TIP_MM3, 0);
  });
  it('places one mesh by several nodes, and counts parts', () => {
    const nodes = [{ mesh: 0 }, { mesh: 0, translation: [5, 0, 0] }, { name: 'empty' }];
    const { mesh, parts } = read(asGlb(tipScene({ nodes, scenes: [{ nodes: [0, 1, 2] }] })));
    expect([mesh.triangles.length / 3, parts]).toEqual([8, 2]);
    expect(volume(mesh)).toBeCloseTo(2 * TIP_MM3, 0);
  });
  it.each([
    ['the scene named', { scenes: [{ nodes: [] }, { nodes: [1] }], scene: 1 }, 1],
    ['the first scene when none is named', { scenes: [{ nodes: [0, 1] }, { nodes: [1] }] }, 2],
    ['all roots without scenes', { scenes: undefined }, 2],
    ['all meshes without nodes', { scenes: undefined, nodes: undefined }, 1],
  ])('reads %s', (_what, rest, parts) => {
    const nodes = [{ mesh: 0 }, { mesh: 0, translation: [5, 0, 0] }];
    expect(read(asGlb(tipScene({ nodes, ...rest }))).parts).toBe(parts);
  });
  it('passes over what is scaled to nothing, points, bones and morphs, and says so', () => {
    const meshes = [
      {
        primitives: [
          { attributes: { POSITION: 0 }, indices: 1, targets: [{ POSITION: 0 }] },
          { attributes: { POSITION: 0 }, mode: 0 },
        ],
      },
    ];
    const nodes = [
      { mesh: 0, skin: 0 },
      { mesh: 0, scale: [0, 0, 0] },
    ];
    const { findings } = read(asGlb(tipScene({ meshes, nodes, scenes: [{ nodes: [0, 1] }] })));
    expect(findings).toMatchObject([
      { code: 'MOTION_IGNORED', measured: 2 },
      { code: 'ELEMENTS_IGNORED', measured: 2 },
    ]);
  });
});

describe('numbers', () => {
  const square = [0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0];
  const triangles = (mode: number, indices: readonly number[] | null, more = {}) =>
    Array.from(
      read(
        asGlb(
          sceneOf({
            accessors: [
              { values: square, kind: 'f32' },
              ...(indices === null ? [] : [{ values: indices, kind: 'u8' as const, type: 'SCALAR' }]),
            ],
            rest: {
              meshes: [
                { primitives: [{ attributes: { POSITION: 0 }, mode, ...(indices === null ? {} : { indices: 1 }) }] },
              ],
              nodes: [{ mesh: 0, ...more }],
            },
          }),
        ),
      ).mesh.triangles,
    );
  it('reads strips and fans, with and without indices, mirrored too', () => {
    expect(triangles(4, [0, 1, 2, 3])).toEqual([0, 1, 2]);
    expect(triangles(5, null)).toEqual([0, 1, 2, 1, 3, 2]);
    expect(triangles(5, [0, 1, 2, 3])).toEqual([0, 1, 2, 1, 3, 2]);
    expect(triangles(6, [0, 1, 3, 2])).toEqual([0, 1, 3, 0, 3, 2]);
    expect(triangles(5, null, { scale: [-1, 1, 1] })).toEqual([0, 2, 1, 1, 2, 3]);
  });
  it('reads interleaved values', () => {
    const { json, bin } = sceneOf({
      accessors: [{ values: [0, 0, 0, 9, 1, 0, 0, 9, 0, 1, 0, 9], kind: 'f32' }],
      rest: { meshes: [{ primitives: [{ attributes: { POSITION: 0 } }] }] },
    });
    const views = [{ ...(json.bufferViews as object[])[0], byteStride: 16 }];
    const accessors = [{ ...(json.accessors as object[])[0], count: 3 }];
    expect(read(asGlb({ json: { ...json, bufferViews: views, accessors }, bin })).box.maxMm).toEqual([1000, 1000, 0]);
  });
  it('reads quantised values, and takes that extension for known', () => {
    const { json, bin } = sceneOf({
      accessors: [{ values: [0, 0, 0, 32767, 0, 0, 0, -32767, 0], kind: 'i16', normalized: true }],
      rest: {
        meshes: [{ primitives: [{ attributes: { POSITION: 0 } }] }],
        extensionsRequired: ['KHR_mesh_quantization'],
      },
    });
    expect(read(asGlb({ json, bin })).box).toEqual({ minMm: [0, -1000, 0], maxMm: [1000, 0, 0] });
  });
  it.each([
    ['over values', 0],
    ['over nothing', undefined],
  ])('reads sparse values %s', (_what, bufferView) => {
    const { json, bin } = sceneOf({
      accessors: [
        { values: [0, 0, 0, 1, 0, 0, 0, 1, 0], kind: 'f32' },
        { values: [1, 2], kind: 'u16', type: 'SCALAR' },
        { values: [2, 0, 0, 0, 3, 0], kind: 'f32' },
      ],
      rest: { meshes: [{ primitives: [{ attributes: { POSITION: 0 } }] }] },
    });
    const [first] = json.accessors as Record<string, unknown>[];
    const sparse = { count: 2, indices: { bufferView: 1, componentType: 5123 }, values: { bufferView: 2 } };
    const accessors = [{ ...first, bufferView, sparse }];
    expect(read(asGlb({ json: { ...json, accessors }, bin })).box.maxMm).toEqual([2000, 3000, 0]);
  });
  it('leaves out triangles with a corner that is no number', () => {
    const { json, bin } = tipScene();
    new DataView(bin.buffer).setFloat32(36, Number.NaN, true);
    const { mesh, findings } = read(asGlb({ json, bin }));
    expect(mesh.triangles.length).toBe(3);
    expect(findings).toMatchObject([{ code: 'CORNERS_NOT_FINITE', measured: 3 }]);
  });
});

describe('what is refused', () => {
  const tip = tipScene();
  const changed = (list: string, index: number, change: object) => {
    const entries = (tip.json[list] as object[]).map((entry, i) => (i === index ? { ...entry, ...change } : entry));
    return asGlb({ json: { ...tip.json, [list]: entries }, bin: tip.bin });
  };
  const glb = asGlb(tip);
  const chain = (length: number) =>
    Array.from({ length }, (_, i) => (i + 1 < length ? { children: [i + 1] } : { mesh: 0 }));
  it.each([
    ['a file cut off', glb.subarray(0, 100), 'FILE_TRUNCATED', /announces \d+ bytes and holds 100/],
    ['a head alone', glb.subarray(0, 12), 'FILE_TRUNCATED', /at least 20/],
    ['another version', Uint8Array.from(glb, (b, i) => (i === 4 ? 1 : b)), 'FILE_MALFORMED', /version 1/],
    ['JSON that is cut', text('{"asset": {"version": "2.0"'), 'FILE_MALFORMED', /cannot be read/],
    ['JSON of something else', text('{"name": "x"}'), 'FILE_KIND_UNKNOWN', /no "asset"/],
    ['an older scene', text('{"asset": {"version": "1.0"}}'), 'FILE_MALFORMED', /"1.0"/],
    [
      'a hundred thousand brackets',
      text(`{"asset":{"version":"2.0"},"x":${'['.repeat(1e5)}`),
      'FILE_MALFORMED',
      /deeper than 64/,
    ],
    [
      'compressed meshes',
      asGlb(tipScene({ extensionsRequired: ['KHR_draco_mesh_compression'] })),
      'GLTF_NEEDS_EXTENSION',
      /KHR_draco_mesh_compression/,
    ],
    [
      'an accessor beyond its view',
      changed('accessors', 0, { count: 5 }),
      'FILE_TRUNCATED',
      /needs? 60 bytes; its view holds 48/,
    ],
    ['a count of billions', changed('accessors', 0, { count: 4e9 }), 'FILE_TRUNCATED', /4000000000/],
    [
      'a count of billions without bytes',
      changed('accessors', 0, { count: 4e9, bufferView: undefined }),
      'FILE_TRUNCATED',
      /no bytes/,
    ],
    ['a negative offset', changed('accessors', 0, { byteOffset: -4 }), 'FILE_MALFORMED', /offset/],
    ['a stride too short', changed('bufferViews', 0, { byteStride: 4 }), 'FILE_TRUNCATED', /accessor 0/i],
    ['a view beyond its buffer', changed('bufferViews', 0, { byteLength: 4800 }), 'FILE_TRUNCATED', /buffer holds/],
    ['a buffer beyond its data', changed('buffers', 0, { byteLength: 4800 }), 'FILE_TRUNCATED', /announces 4800/],
    ['two components', changed('accessors', 0, { type: 'VEC2' }), 'FILE_MALFORMED', /VEC3/],
    [
      'an unknown kind of numbers',
      changed('accessors', 0, { componentType: 5130 }),
      'FILE_MALFORMED',
      /kind of numbers/,
    ],
    ['an index beyond the vertices', changed('accessors', 0, { count: 3 }), 'FILE_MALFORMED', /names vertex 3 of 3/],
    ['a mesh that is not there', changed('nodes', 0, { mesh: 3 }), 'FILE_MALFORMED', /mesh that is not there/],
    ['a node that is not there', changed('scenes', 0, { nodes: [7] }), 'FILE_MALFORMED', /Node 7/],
    ['a node within itself', asGlb(tipScene({ nodes: [{ children: [0] }] })), 'FILE_MALFORMED', /reached twice/],
    [
      'a node with two parents',
      asGlb(tipScene({ nodes: [{ children: [1, 2] }, { children: [2] }, { mesh: 0 }] })),
      'FILE_MALFORMED',
      /reached twice/,
    ],
    ['nodes nested too deep', asGlb(tipScene({ nodes: chain(1100) })), 'FILE_MALFORMED', /deeper than 1024/],
    ['a transform that is not finite', changed('nodes', 0, { scale: [1, 1, null] }), 'COORDINATE_NOT_FINITE', /node 0/],
    ['data that is no base64', asJson(tip, 'data:;base64,####'), 'FILE_MALFORMED', /base64/],
  ] as const)('%s', (_what, bytes, code, why) => {
    const outcome = readGltf(bytes);
    expect(outcome).toMatchObject({ ok: false, code });
    if (!outcome.ok) expect(outcome.why).toMatch(why);
  });
  it('reads nodes nested as deep as bones are', () => {
    expect(read(asGlb(tipScene({ nodes: chain(1000) }))).parts).toBe(1);
  });
  it('meshes placed beyond any number are counted, not built', () => {
    const primitives = Array.from({ length: 1000 }, () => ({ attributes: { POSITION: 0 }, indices: 1 }));
    const nodes = Array.from({ length: 100_000 }, () => ({ mesh: 0 }));
    const bytes = asGlb(tipScene({ meshes: [{ primitives }], nodes, scenes: [{ nodes: nodes.map((_, i) => i) }] }));
    expect(readGltf(bytes)).toMatchObject({ ok: false, code: 'FILE_TOO_LARGE' });
  });
});
