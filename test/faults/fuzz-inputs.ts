// Broken model files by the thousand: small valid files of every format and the ways in which they are damaged.
import { zipSync } from 'fflate';
import { randomStream } from '../../src/base/random.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { writeThreemf } from '../../src/documents/threemf/write-threemf.ts';
import { meshOf } from '../../src/mesh/mesh.ts';
import { asGlb, asJson, sceneOf, tipScene } from '../unit/documents/gltf/gltf-fixture.ts';

export interface FuzzInput {
  readonly seedName: string;
  readonly mutations: readonly string[];
  readonly bytes: Uint8Array;
}

/** The input with this number: always the same for the same seed. Nine in ten are damaged once to four times, one in ten is spliced. */
export function fuzzInput(seed: number, index: number): FuzzInput {
  const random = randomStream((seed * 1_000_003 + index) | 0);
  const { name, bytes, wrap, isText } = pick(SEEDS, random);
  const mutations: string[] = [];
  let out = bytes;
  if (random() < 0.1) {
    const other = pick(SEEDS, random);
    mutations.push(`spliced with ${other.name}`);
    out = joined(out.subarray(0, below(out.length, random)), other.bytes.subarray(below(other.bytes.length, random)));
  }
  for (let k = Math.floor(4 * random() * random()); k >= 0 && out.length > 0; k--) {
    const [what, damage] = pick(isText && random() < 0.7 ? TEXT_DAMAGE : BYTE_DAMAGE, random);
    mutations.push(what);
    out = damage(out, random);
  }
  return { seedName: name, mutations, bytes: wrap(out) };
}

interface Seed {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly isText: boolean;
  /** Puts damaged contents back into what holds them, so that the damage gets past check sums and lengths. */
  readonly wrap: (bytes: Uint8Array) => Uint8Array;
}

type Damage = (bytes: Uint8Array, random: () => number) => Uint8Array;

const text = (s: string) => new TextEncoder().encode(s);
const asIs = (bytes: Uint8Array) => bytes;

const TIP = meshOf(
  Float64Array.of(0, 0, 0, 100, 0, 0, 0, 100, 0, 0, 0, 100.25),
  Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3),
);
const SQUARE = 'v 0 0 0\nv 100 0 0.5\nv 1e2 100 -0\nv 0 +100.25 0 1 0.5 0.5\n';
const CORE = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
const PRODUCTION = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06';
const START = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';
const RELS = text(`<R><Relationship Target="/m" Type="${START}"/></R>`);
const MODEL = `<?xml version="1.0"?><model unit="inch" xmlns="${CORE}" xmlns:p="${PRODUCTION}" requiredextensions="p"><resources><object id="1"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/></vertices><triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh></object><object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/><component objectid="1" p:path="/m"/></components></object></resources><build><item objectid="2"/><item objectid="1" transform="-1 0 0 0 1 0 0 0 1 5 0 0"/></build></model>`;

/** Stored, and with one date, so that the same number gives the same bytes at any time. */
const STORED = { level: 0, mtime: '2000-01-01' } as const;

const SPARSE_SCENE = sceneOf({
  accessors: [
    {
      values: [0, 0, 0, 0.1, 0, 0, 0, 0.1, 0, 0.1, 0.1, 0],
      kind: 'f32',
      sparse: { count: 1, indices: { bufferView: 1, componentType: 5123 }, values: { bufferView: 2 } },
    },
    { values: [3], kind: 'u16', type: 'SCALAR' },
    { values: [0.2, 0.2, 0], kind: 'f32' },
    { values: [0, 1, 2, 3], kind: 'u8', type: 'SCALAR' },
  ],
  rest: {
    meshes: [
      {
        primitives: [
          { attributes: { POSITION: 0 }, mode: 5 },
          { attributes: { POSITION: 0 }, indices: 3, mode: 6 },
        ],
      },
    ],
    nodes: [
      { children: [1, 2], scale: [-1, 1, 1] },
      { mesh: 0, rotation: [0, 0, 0, 1] },
      { mesh: 0, matrix: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 5, 0, 0, 1] },
    ],
    scenes: [{ nodes: [0] }],
    scene: 0,
  },
});

const PLY_HEAD = (format: string, faces: string) =>
  `ply\nformat ${format} 1.0\ncomment made\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\nproperty uchar red\n${faces}end_header\n`;
const FACES = 'element face 2\nproperty list uchar int vertex_indices\nproperty uchar flags\n';

function binaryPly(isLittle: boolean): Uint8Array {
  const head = text(PLY_HEAD(isLittle ? 'binary_little_endian' : 'binary_big_endian', FACES));
  const bytes = new Uint8Array(head.length + 4 * 13 + 14 + 18);
  bytes.set(head);
  const view = new DataView(bytes.buffer);
  let at = head.length;
  for (const [x, y] of [
    [0, 0],
    [100, 0],
    [100, 100],
    [0, 100],
  ] as const) {
    view.setFloat32(at, x, isLittle);
    view.setFloat32(at + 4, y, isLittle);
    at += 13;
  }
  for (const face of [
    [0, 1, 2],
    [0, 1, 2, 3],
  ]) {
    view.setUint8(at++, face.length);
    for (const vert of face) {
      view.setInt32(at, vert, isLittle);
      at += 4;
    }
    at++;
  }
  return bytes;
}

const SEEDS: readonly Seed[] = [
  seed('binary STL', writeStl(TIP, { title: 'tip' })),
  seedText(
    'text STL',
    `solid tip\n${'facet normal 0 0 1\n outer loop\n vertex 0 0 0\n vertex 1.5e2 0 0\n vertex 0 12.25 0\n endloop\nendfacet\n'.repeat(3)}endsolid tip\n`,
  ),
  seedText(
    'OBJ',
    `mtllib a.mtl\no one\n${SQUARE}f 1 2 3\nf 1/1 3/2 4/3\ng two\nf -4 -3 -2 -1\nl 1 2\nf 1//1 2//1 \\\n 3//1\n`,
  ),
  seedText('OBJ polygons', `${SQUARE}v 50 20 0\nv 20 50 0\nf 1 2 5 3 6 4\nf 6 5 4 3 2 1\nf 1 5 2\n`),
  seedText(
    'text PLY',
    `${PLY_HEAD('ascii', FACES)}0 0 0 1\n100 0 0 2\n100 1e2 0 3\n0 100 0 4\n3 0 1 2 0\n4 0 1 2 3 1\n`,
  ),
  seedText(
    'PLY strips',
    `${PLY_HEAD('ascii', 'element tristrips 1\nproperty list int int vertex_indices\n')}0 0 0 1\n100 0 0 2\n100 1e2 0 3\n0 100 0 4\n7 0 1 2 3 -1 0 1\n`,
  ),
  seed('little-endian PLY', binaryPly(true)),
  seed('big-endian PLY', binaryPly(false)),
  seedText('OFF', 'OFF\n# made\n4 3 0\n0 0 0\n100 0 0\n100 100 0\n0 1e2 0\n3 0 1 2\n4 0 1 2 3 255 0 0\n3 0 2 3\n'),
  seedText('COFF', 'COFF 3 1 0\n0 0 0 1 1 1 1\n100 0 0 1 1 1 1\n0 100 0 1 1 1 1\n3 0 1 2\n'),
  seed('GLB', asGlb(tipScene())),
  seed('sparse GLB', asGlb(SPARSE_SCENE)),
  seedText('glTF', new TextDecoder().decode(asJson(SPARSE_SCENE))),
  seedText(
    'glTF with a file',
    new TextDecoder().decode(asJson(tipScene({ extensionsRequired: ['KHR_mesh_quantization'] }), 'a.bin')),
  ),
  {
    name: 'JSON of a GLB',
    bytes: text(JSON.stringify(SPARSE_SCENE.json)),
    isText: true,
    wrap: (bytes) => asGlbOf(bytes, SPARSE_SCENE.bin),
  },
  seed('3MF', writeThreemf([{ name: 'tip', mesh: TIP }])),
  seed('unpacked 3MF', packedXml(text(MODEL))),
  { name: 'model part of a 3MF', bytes: text(MODEL), isText: true, wrap: packedXml },
  { name: 'relations of a 3MF', bytes: RELS, isText: true, wrap: (rels) => packed(rels, text(MODEL)) },
];

function seed(name: string, bytes: Uint8Array): Seed {
  return { name, bytes, isText: false, wrap: asIs };
}

function seedText(name: string, contents: string): Seed {
  return { name, bytes: text(contents), isText: true, wrap: asIs };
}

function packed(rels: Uint8Array, model: Uint8Array): Uint8Array {
  return zipSync({ '_rels/.rels': [rels, STORED], m: [model, STORED] });
}

function packedXml(model: Uint8Array): Uint8Array {
  return packed(RELS, model);
}

/** A binary glTF around JSON that need not be any. */
function asGlbOf(json: Uint8Array, bin: Uint8Array): Uint8Array {
  const out = new Uint8Array(12 + 8 + json.length + 8 + bin.length);
  const view = new DataView(out.buffer);
  view.setUint32(0, 0x46546c67, true);
  view.setUint32(4, 2, true);
  view.setUint32(8, out.length, true);
  view.setUint32(12, json.length, true);
  view.setUint32(16, 0x4e4f534a, true);
  out.set(json, 20);
  view.setUint32(20 + json.length, bin.length, true);
  view.setUint32(24 + json.length, 0x004e4942, true);
  out.set(bin, 28 + json.length);
  return out;
}

const BYTE_DAMAGE: readonly (readonly [string, Damage])[] = [
  ['a bit turned', (b, r) => changed(b, (out) => (out[below(out.length, r)]! ^= 1 << below(8, r)))],
  ['a byte replaced', (b, r) => changed(b, (out) => (out[below(out.length, r)] = below(256, r)))],
  [
    'a telling byte',
    (b, r) =>
      changed(
        b,
        (out) => (out[below(out.length, r)] = pick([0, 0xff, 0x7f, 0x80, 10, 34, 38, 47, 60, 62, 92, 123, 91], r)),
      ),
  ],
  ['cut off', (b, r) => b.subarray(0, below(b.length, r))],
  ['a block left out', (b, r) => block(b, r, (from, to) => joined(b.subarray(0, from), b.subarray(to)))],
  ['a block twice', (b, r) => block(b, r, (from, to) => joined(b.subarray(0, to), b.subarray(from)))],
  [
    'a block moved over another',
    (b, r) => block(b, r, (from, to) => changed(b, (out) => out.copyWithin(below(out.length, r), from, to))),
  ],
  [
    'a block put in',
    (b, r) => block(b, r, (from, to) => joined(b.subarray(0, from), noise(to - from, r), b.subarray(from))),
  ],
  ['a number of 32 bits', (b, r) => number32(b, r)],
  ['a block many times', (b, r) => block(b, r, (from, to) => repeated(b, from, Math.min(to, from + 60), below(60, r)))],
];

const EXTREMES = [
  '0',
  '-1',
  '1e308',
  '-1e308',
  '1e999',
  '4294967295',
  '4294967296',
  '2147483648',
  '99999999999999999999',
  '1e-320',
  'nan',
  '-inf',
  '0.1',
  '65536',
  '3',
  '1000000',
  '',
  '-',
  '0x10',
  '1,5',
  '"',
  '[]',
  '{}',
  'null',
];

const TEXT_DAMAGE: readonly (readonly [string, Damage])[] = [
  ['a number replaced', (b, r) => tokens(b, r, /-?[0-9][0-9.e+-]*/g, () => pick(EXTREMES, r))],
  ['a number replaced by another', (b, r) => tokens(b, r, /-?[0-9][0-9.e+-]*/g, (all) => pick(all, r))],
  ['a word replaced by another', (b, r) => tokens(b, r, /[A-Za-z_:]+/g, (all) => pick(all, r))],
  ['a word left out', (b, r) => tokens(b, r, /[A-Za-z_:]+/g, () => '')],
  ['a line twice', (b, r) => tokens(b, r, /[^\n]*\n|<[^>]*>|[^{},]*[{},]/g, (_all, one) => one + one)],
  ['a line left out', (b, r) => tokens(b, r, /[^\n]*\n|<[^>]*>|[^{},]*[{},]/g, () => '')],
  ['a line replaced by another', (b, r) => tokens(b, r, /[^\n]*\n|<[^>]*>|[^{},]*[{},]/g, (all) => pick(all, r))],
  [
    'white space changed',
    (b, r) => tokens(b, r, /\s+/g, () => pick(['', '\r', '\r\n', '\t', '\0', '\u00a0', '\\\n', '#'], r)),
  ],
  ['a tag many times', (b, r) => tokens(b, r, /<[^/][^>]*[^/]>|[[{]/g, (_all, one) => one.repeat(below(200, r)))],
];

/** Replaces one match of a pattern. */
function tokens(
  bytes: Uint8Array,
  random: () => number,
  pattern: RegExp,
  by: (all: readonly string[], one: string) => string,
): Uint8Array {
  const latin = Buffer.from(bytes).toString('latin1');
  const matches = [...latin.matchAll(pattern)];
  if (matches.length === 0) return bytes;
  const match = pick(matches, random);
  const all = matches.map((m) => m[0]);
  const changedText = latin.slice(0, match.index) + by(all, match[0]) + latin.slice(match.index + match[0].length);
  return new Uint8Array(Buffer.from(changedText, 'latin1'));
}

function number32(bytes: Uint8Array, random: () => number): Uint8Array {
  if (bytes.length < 4) return bytes;
  return changed(bytes, (out) => {
    const view = new DataView(out.buffer, out.byteOffset, out.byteLength);
    const last = bytes.length - 4;
    // now and then where a count is known to stand
    const at =
      random() < 0.2 ? Math.min(last, pick([80, 8, 12, 4, last, last - 2, last - 6], random)) : below(last + 1, random);
    const isLittle = random() < 0.7;
    if (random() < 0.5)
      view.setUint32(
        Math.max(0, at),
        pick([0, 1, 2, 3, 255, 65535, 0x7fffffff, 0x80000000, 0xffffffff, 1e6, bytes.length], random),
        isLittle,
      );
    else
      view.setFloat32(
        Math.max(0, at),
        pick([Number.NaN, Infinity, -Infinity, 3e38, 1e-45, -0, 1e10], random),
        isLittle,
      );
  });
}

function changed(bytes: Uint8Array, change: (out: Uint8Array) => unknown): Uint8Array {
  const out = bytes.slice();
  change(out);
  return out;
}

function block(bytes: Uint8Array, random: () => number, use: (from: number, to: number) => Uint8Array): Uint8Array {
  const from = below(bytes.length, random);
  return use(from, from + 1 + below(bytes.length - from, random));
}

function repeated(bytes: Uint8Array, from: number, to: number, times: number): Uint8Array {
  const parts = [bytes.subarray(0, from)];
  for (let i = 0; i < times; i++) parts.push(bytes.subarray(from, to));
  return joined(...parts, bytes.subarray(from));
}

function noise(length: number, random: () => number): Uint8Array {
  return Uint8Array.from({ length }, () => below(256, random));
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

function below(limit: number, random: () => number): number {
  return Math.floor(random() * limit);
}

function pick<T>(list: readonly T[], random: () => number): T {
  return list[Math.floor(random() * list.length)]!;
}
