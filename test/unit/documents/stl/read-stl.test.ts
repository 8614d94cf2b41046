// STL in every form it is found in: what is read, what is noted, what is refused.
import { describe, expect, it } from 'vitest';
import { readStl } from '../../../../src/documents/stl/read-stl.ts';

const text = (s: string) => new TextEncoder().encode(s);
const FACET =
  'facet normal 0 0 1\nouter loop\nvertex 1 2 3\nvertex -4.5 5e1 +6.25E-1\nvertex .5 7. -0\nendloop\nendfacet\n';
const CORNERS = [1, 2, 3, -4.5, 50, 0.625, 0.5, 7, -0];

function binary(count: number, options: { declared?: number; header?: string; extra?: number } = {}): Uint8Array {
  const bytes = new Uint8Array(84 + 50 * count + (options.extra ?? 0)).fill(32, 0, 80);
  bytes.set(text(options.header ?? 'some header'));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, options.declared ?? count, true);
  for (let t = 0; t < count; t++)
    for (let k = 0; k < 9; k++) view.setFloat32(84 + t * 50 + 12 + k * 4, t * 10 + k, true);
  return bytes;
}

function codesOf(bytes: Uint8Array): string[] {
  const read = readStl(bytes);
  return read.ok ? read.findings.map((f) => f.code) : [read.code];
}

describe('binary', () => {
  it('reads corners, kind and name', () => {
    const read = readStl(binary(2));
    expect(read).toMatchObject({ ok: true, value: { kind: 'binary', name: 'some header' }, findings: [] });
    if (read.ok)
      expect(Array.from(read.value.corners)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15, 16, 17, 18]);
  });
  it('reads from a view at an odd offset', () => {
    const whole = new Uint8Array(85 + 100 + 7);
    whole.set(binary(2), 1);
    const read = readStl(whole.subarray(1, 185));
    expect(read.ok && read.value.corners[9]).toBe(10);
  });
  it.each([
    ['a header that begins with "solid"', binary(3, { header: 'solid cup facet' }), 3, []],
    ['"solid", bytes behind the data', binary(3, { header: 'solid cup', extra: 37 }), 3, ['TRAILING_BYTES']],
    ['bytes behind the data', binary(3, { extra: 7 }), 3, ['TRAILING_BYTES']],
    ['a count that is too high', binary(3, { declared: 9 }), 3, ['STL_COUNT_WRONG']],
    ['a count of four billion', binary(3, { declared: 0xffffffff }), 3, ['STL_COUNT_WRONG']],
    ['a count that is too low', binary(3, { declared: 2 }), 2, ['TRAILING_BYTES']],
    ['no triangle', binary(0), 0, []],
  ] as const)('reads %s', (_what, bytes, count, codes) => {
    const read = readStl(bytes);
    expect(read.ok && [read.value.kind, read.value.corners.length / 9]).toEqual(['binary', count]);
    expect(codesOf(bytes)).toEqual(codes);
  });
  it.each([
    ['an empty file', new Uint8Array(0), 'FILE_UNREADABLE'],
    ['a header cut short', binary(0).subarray(0, 83), 'FILE_TRUNCATED'],
    ['a triangle cut short', binary(3).subarray(0, 84 + 149), 'FILE_TRUNCATED'],
    ['a count without a triangle', binary(0, { declared: 5 }), 'FILE_TRUNCATED'],
    ['a count of none with data behind', binary(5, { declared: 0 }), 'FILE_MALFORMED'],
  ] as const)('refuses %s', (_what, bytes, code) => expect(codesOf(bytes)).toEqual([code]));
  it.each([Number.NaN, Infinity, -Infinity])('leaves out a triangle with a corner of %s and says where', (value) => {
    const bytes = binary(3);
    new DataView(bytes.buffer).setFloat32(84 + 2 * 50 + 12 + 16, value, true);
    const read = readStl(bytes);
    if (!read.ok) throw new Error(read.why);
    expect(read.value.corners.length).toBe(2 * 9);
    expect(read.findings).toMatchObject([{ code: 'CORNERS_NOT_FINITE', measured: 1 }]);
    expect(read.findings[0]?.say).toMatch(/1 of 3 triangles .*corner 2 of triangle 3, byte 212/);
  });
  it('refuses a file of such triangles only', () => {
    const bytes = binary(2);
    for (const t of [0, 1]) new DataView(bytes.buffer).setFloat32(84 + t * 50 + 12, Number.NaN, true);
    expect(codesOf(bytes)).toEqual(['COORDINATE_NOT_FINITE']);
  });
  it('takes a normal that is not a number', () => {
    const bytes = binary(1);
    new DataView(bytes.buffer).setFloat32(84, Number.NaN, true);
    expect(codesOf(bytes)).toEqual([]);
  });
});

describe('ascii', () => {
  it('reads numbers of every form', () => {
    const read = readStl(text(`solid cup\n${FACET}endsolid cup\n`));
    expect(read).toMatchObject({ ok: true, value: { kind: 'ascii', name: 'cup' }, findings: [] });
    if (read.ok) expect(Array.from(read.value.corners)).toEqual(CORNERS);
  });
  it.each([
    ['upper case', `SOLID A\n${FACET.toUpperCase()}ENDSOLID A`, 1, []],
    ['tabs and blanks', `  solid\t a\n${FACET.replaceAll(' ', ' \t  ')}endsolid`, 1, []],
    ['carriage returns only', `solid a\r${FACET.replaceAll('\n', '\r')}endsolid`, 1, []],
    ['carriage returns and line feeds', `solid a\r\n${FACET.replaceAll('\n', '\r\n')}endsolid`, 1, []],
    ['a byte order mark', `\ufeffsolid a\n${FACET}endsolid`, 1, []],
    ['words of the format in the name', `solid facet vertex 1 2 solid "ü"\n${FACET}endsolid vertex`, 1, []],
    ['no name', `solid\n${FACET}endsolid`, 1, []],
    ['a missing end', `solid a\n${FACET}`, 1, ['STL_END_MISSING']],
    ['several solids', `solid a\n${FACET}endsolid\nsolid b\n${FACET}endsolid`, 2, ['STL_SEVERAL_SOLIDS']],
    ['an empty solid', 'solid a\nendsolid a', 0, []],
    ['comments', `solid a\n# one\n; two\n// three\n${FACET}endsolid`, 1, []],
    ['normals that are no numbers', `solid a\n${FACET.replace('0 0 1', 'nan -nan(ind) 1.#QNAN')}endsolid`, 1, []],
    ['a missing normal', `solid a\n${FACET.replace('normal 0 0 1', '')}endsolid`, 1, []],
    ['everything of a facet in one line', `solid a\n${FACET.replaceAll('\n', ' ')}\nendsolid`, 1, []],
  ] as const)('reads %s', (_what, file, count, codes) => {
    const read = readStl(text(file));
    expect(read.ok && [read.value.kind, read.value.corners.length / 9]).toEqual(['ascii', count]);
    expect(codesOf(text(file))).toEqual(codes);
  });
  it.each([
    ['a file cut in a number list', `solid a\n${FACET.slice(0, 40)}`, 'FILE_TRUNCATED'],
    ['a facet left open', `solid a\n${FACET.slice(0, FACET.indexOf('endfacet'))}`, 'FILE_TRUNCATED'],
    ['a decimal comma', `solid a\n${FACET.replace('-4.5', '-4,5')}endsolid`, 'FILE_MALFORMED'],
    ['a word out of place', `solid a\n${FACET}cube 1 2 3\nendsolid`, 'FILE_MALFORMED'],
    ['two corners', `solid a\n${FACET.replace('vertex 1 2 3\n', '')}endsolid`, 'FILE_MALFORMED'],
    ['four corners', `solid a\n${FACET.replace('endloop', 'vertex 0 0 0 endloop')}endsolid`, 'FILE_MALFORMED'],
    ['a corner outside', `solid a\nvertex 1 2 3\n${FACET}endsolid`, 'FILE_MALFORMED'],
    ['nan', `solid a\n${FACET.replace('-4.5', 'NaN')}endsolid`, 'COORDINATE_NOT_FINITE'],
    ['inf', `solid a\n${FACET.replace('-4.5', '-inf')}endsolid`, 'COORDINATE_NOT_FINITE'],
    [
      'a number too large for single precision',
      `solid a\n${FACET.replace('-4.5', '1e39')}endsolid`,
      'COORDINATE_NOT_FINITE',
    ],
  ] as const)('refuses %s', (_what, file, code) => expect(codesOf(text(file))).toEqual([code]));
  it('names line, byte and triangle of what it does not understand', () => {
    const read = readStl(text(`solid a\n${FACET}${FACET.replace('vertex 1 2 3', 'vertex 1 x 3')}endsolid`));
    expect(!read.ok && read.why).toMatch(/^"x" in line 11 \(byte \d+, triangle 2\)/);
  });
});
