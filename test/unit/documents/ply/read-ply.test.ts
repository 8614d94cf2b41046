// PLY in its three encodings: any numbers, properties and elements beside the shape, lists of any size.
import { describe, expect, it } from 'vitest';
import { readPly } from '../../../../src/documents/ply/read-ply.ts';

const text = (s: string) => new TextEncoder().encode(s);
const HEADER =
  'element vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement face 2\nproperty list uchar int vertex_indices\nend_header\n';
const ASCII = `ply\nformat ascii 1.0\n${HEADER}0 0 0\n1 0 0\n1 1 0\n0 1 0\n3 0 1 2\n3 0 2 3\n`;
const SIZES: Readonly<Record<string, number>> = {
  char: 1,
  uchar: 1,
  short: 2,
  ushort: 2,
  int: 4,
  uint: 4,
  float: 4,
  double: 8,
};

/** Bytes of a header and typed values, in either byte order. */
function binary(
  order: 'little' | 'big',
  header: string,
  values: readonly (readonly [type: string, value: number])[],
): Uint8Array {
  const head = text(`ply\nformat binary_${order}_endian 1.0\n${header}`);
  const size = values.reduce((sum, [type]) => sum + SIZES[type]!, 0);
  const bytes = new Uint8Array(head.length + size);
  bytes.set(head);
  const view = new DataView(bytes.buffer);
  const isLittle = order === 'little';
  let at = head.length;
  for (const [type, value] of values) {
    if (type === 'char' || type === 'uchar') view.setUint8(at, value);
    else if (type === 'short' || type === 'ushort') view.setUint16(at, value, isLittle);
    else if (type === 'int' || type === 'uint') view.setUint32(at, value, isLittle);
    else if (type === 'float') view.setFloat32(at, value, isLittle);
    else view.setFloat64(at, value, isLittle);
    at += SIZES[type]!;
  }
  return bytes;
}

const SQUARE = [0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0];

function shape(bytes: Uint8Array) {
  const read = readPly(bytes);
  if (!read.ok) throw new Error(`${read.code}: ${read.why}`);
  return [
    Array.from(read.value.mesh.positions),
    Array.from(read.value.mesh.triangles),
    read.findings.map((f) => f.code),
  ];
}

describe('text', () => {
  it.each([
    ['plain', ASCII],
    ['CRLF', ASCII.replaceAll('\n', '\r\n')],
    ['CR', ASCII.replaceAll('\n', '\r')],
    ['comments', ASCII.replace('element vertex', 'comment x y\nobj_info z\nelement vertex')],
    ['the other name', ASCII.replace('vertex_indices', 'vertex_index')],
    ['names of sizes', ASCII.replaceAll('float', 'float32').replace('uchar int', 'uint8 int32')],
    ['no line end', ASCII.trimEnd()],
    ['an element more', ASCII.replace('element face', 'element edge 0\nproperty int a\nelement face')],
  ])('reads %s', (_what, file) => expect(shape(text(file))).toEqual([SQUARE, [0, 1, 2, 0, 2, 3], []]));
  it('passes over properties, lists and elements it does not need', () => {
    const file = `ply\nformat ascii 1.0\nelement camera 1\nproperty list uchar float view\nelement vertex 3\nproperty uchar red\nproperty double z\nproperty list int int near\nproperty double y\nproperty double x\nelement face 1\nproperty float quality\nproperty list uchar uint vertex_indices\nproperty list uchar float texcoord\nelement tail 2\nproperty int q\nend_header\n2 7 8\n9 0 2 5 5 0 0\n9 0 0 0 1\n9 0 1 5 1 0\n0.5 3 0 1 2 6 1 2 3 4 5 6\n1\n2\n`;
    expect(shape(text(file))).toEqual([[0, 0, 0, 1, 0, 0, 0, 1, 0], [0, 1, 2], []]);
  });
  it('cuts faces of any size and reads strips', () => {
    const quad = ASCII.replace('element face 2', 'element face 1').replace('3 0 1 2\n3 0 2 3', '4 0 1 2 3');
    expect(shape(text(quad))[1]).toEqual([0, 1, 2, 0, 2, 3]);
    const strips = ASCII.replace('element face 2', 'element tristrips 1').replace(
      '3 0 1 2\n3 0 2 3',
      '8 0 1 2 3 -1 0 1 2',
    );
    expect(shape(text(strips))[1]).toEqual([0, 1, 2, 2, 1, 3, 0, 1, 2]);
  });
});

describe('binary', () => {
  const vertices = SQUARE.map((v) => ['float', v] as const);
  const faces = [0, 1, 2, 0, 2, 3].flatMap((v, k) => [
    ...(k % 3 === 0 ? [['uchar', 3] as const] : []),
    ['int', v] as const,
  ]);
  it.each(['little', 'big'] as const)('reads %s-endian', (order) =>
    expect(shape(binary(order, HEADER, [...vertices, ...faces]))).toEqual([SQUARE, [0, 1, 2, 0, 2, 3], []]),
  );
  it.each(['little', 'big'] as const)('reads every kind of number, %s-endian', (order) => {
    for (const kind of ['char', 'uchar', 'short', 'ushort', 'int', 'uint', 'double'])
      for (const count of ['uchar', 'ushort', 'uint', 'char']) {
        const index = kind === 'double' ? 'short' : kind;
        const header = HEADER.replaceAll('float', kind).replace('uchar int', `${count} ${index}`);
        const rows = [0, 1, 2, 0, 2, 3].flatMap((v, k) => [
          ...(k % 3 === 0 ? [[count, 3] as const] : []),
          [index, v] as const,
        ]);
        const values = [...SQUARE.map((v) => [kind, v] as const), ...rows];
        expect(shape(binary(order, header, values))).toEqual([SQUARE, [0, 1, 2, 0, 2, 3], []]);
      }
  });
  it('passes over colours between the coordinates and behind the lists', () => {
    const header =
      'element vertex 3\nproperty float x\nproperty uchar red\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int vertex_indices\nproperty uchar red\nend_header\n';
    const values = [0, 1, 2].flatMap(
      (v) =>
        [
          ['float', v],
          ['uchar', 9],
          ['float', v * v],
          ['float', 0],
        ] as const,
    );
    const face = [
      ['uchar', 3],
      ['int', 2],
      ['int', 1],
      ['int', 0],
      ['uchar', 5],
    ] as const;
    expect(shape(binary('little', header, [...values, ...face]))).toEqual([[0, 0, 0, 1, 1, 0, 2, 4, 0], [2, 1, 0], []]);
  });
  it('says at which byte the first corner that is no number stands', () => {
    const values = [...vertices];
    values[9] = ['float', Number.NaN];
    const read = readPly(binary('big', HEADER, [...values, ...faces]));
    expect(read).toMatchObject({ ok: true, findings: [{ code: 'CORNERS_NOT_FINITE', measured: 1 }] });
    const dataAt = `ply\nformat binary_big_endian 1.0\n${HEADER}`.length;
    if (read.ok) expect(read.findings[0]?.say).toContain(`byte ${dataAt + 36}`);
  });
  it.each([
    ['a cut vertex', -9 * 4 - 14, 'FILE_TRUNCATED', /announces 2 of "face"|announces 4 of "vertex"/],
    ['a cut face', -1, 'FILE_TRUNCATED', /face|rest of the file/],
  ])('refuses %s', (_what, end, code, why) => {
    const read = readPly(binary('little', HEADER, [...vertices, ...faces]).slice(0, end));
    expect(read).toMatchObject({ ok: false, code });
    if (!read.ok) expect(read.why).toMatch(why);
  });
  it('refuses a list longer than the file', () => {
    const header = HEADER.replace('uchar int', 'uint int').replace('face 2', 'face 1');
    const read = readPly(binary('little', header, [...vertices, ['uint', 0xffffffff], ['int', 0]]));
    expect(read).toMatchObject({ ok: false, code: 'FILE_TRUNCATED' });
  });
});

describe('what is refused', () => {
  it.each([
    [
      'more vertices than bytes',
      ASCII.replace('vertex 4', 'vertex 4000000000'),
      'FILE_TRUNCATED',
      /4000000000 of "vertex"/,
    ],
    ['more faces than bytes', ASCII.replace('face 2', 'face 99'), 'FILE_TRUNCATED', /99 of "face"/],
    ['one face too few', ASCII.replace('3 0 2 3\n', ''), 'FILE_TRUNCATED', /face 2 of 2/],
    [
      'a vertex that is not there',
      ASCII.replace('3 0 2 3', '3 0 2 4'),
      'FILE_MALFORMED',
      /Face 2 in line 15 names vertex 5/,
    ],
    ['a negative vertex', ASCII.replace('3 0 2 3', '3 0 2 -1'), 'FILE_MALFORMED', /cannot be/],
    ['a word', ASCII.replace('1 1 0', '1 x 0'), 'FILE_MALFORMED', /"x" in line 12/],
    ['no z', ASCII.replace('property float z\n', ''), 'FILE_MALFORMED', /x, y and z/],
    ['an unknown format', ASCII.replace('ascii', 'packed'), 'FILE_MALFORMED', /"packed" is not known \(line 2\)/],
    ['an unknown kind', ASCII.replace('float x', 'quad x'), 'FILE_MALFORMED', /line 4/],
    ['an unknown word', ASCII.replace('element face', 'part face'), 'FILE_MALFORMED', /"part"/],
    ['a count that is none', ASCII.replace('vertex 4', 'vertex 4e9'), 'FILE_MALFORMED', /"4e9"/],
    ['no end of the header', ASCII.slice(0, 100), 'FILE_TRUNCATED', /end_header/],
    ['no format', ASCII.replace('format ascii 1.0\n', ''), 'FILE_MALFORMED', /no format/],
    [
      'points only',
      'ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 2 3\n',
      'MESH_EMPTY',
      /1 points/,
    ],
    [
      'billions of rows without a byte',
      'ply\nformat ascii 1.0\nelement void 9000000000000000\nend_header\n',
      'MESH_EMPTY',
      /0 points/,
    ],
  ])('%s', (_what, file, code, why) => {
    const read = readPly(text(file));
    expect(read).toMatchObject({ ok: false, code });
    if (!read.ok) expect(read.why).toMatch(why);
  });
});
