// OFF with every header, comments and colours; counts that cannot be are refused before anything is kept.
import { describe, expect, it } from 'vitest';
import { readOff } from '../../../../src/documents/off/read-off.ts';

const text = (s: string) => new TextEncoder().encode(s);
const PLAIN = 'OFF\n4 2 0\n0 0 0\n1 0 0\n1 1 0\n0 1 0\n3 0 1 2\n3 0 2 3\n';

describe('readOff', () => {
  it.each([
    ['plain', PLAIN],
    ['counts behind the word', PLAIN.replace('OFF\n', 'OFF ')],
    ['comments and empty lines', PLAIN.replace('OFF\n', '# a\n\nOFF # b\n# c\n\n').replace('1 0 0\n', '1 0 0 # d\n\n')],
    ['CRLF', PLAIN.replaceAll('\n', '\r\n')],
    ['a byte order mark', `\ufeff${PLAIN}`],
    ['colours on vertices', PLAIN.replace('OFF', 'COFF').replaceAll(/^([01] [01] 0)$/gm, '$1 255 0 0 255')],
    ['normals', PLAIN.replace('OFF', 'NOFF').replaceAll(/^([01] [01] 0)$/gm, '$1 0 0 1')],
    ['texture places', PLAIN.replace('OFF', 'STOFF').replaceAll(/^([01] [01] 0)$/gm, '$1 0.5 0.5')],
    ['everything', PLAIN.replace('OFF', 'STCNOFF').replaceAll(/^([01] [01] 0)$/gm, '$1 0 0 1 1 1 1 1 0 0')],
    ['colours on faces', PLAIN.replace('3 0 1 2', '3 0 1 2 255 0 0').replace('3 0 2 3', '3 0 2 3 7')],
    ['no count of edges', PLAIN.replace('4 2 0', '4 2')],
    ['no line end', PLAIN.trimEnd()],
    ['numbers over several lines', PLAIN.replace('1 1 0', '1\n1\n0').replace('3 0 1 2', '3\n0 1\n2')],
  ])('reads %s', (_what, file) => {
    const read = readOff(text(file));
    if (!read.ok) throw new Error(read.why);
    expect(Array.from(read.value.mesh.positions)).toEqual([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0]);
    expect(Array.from(read.value.mesh.triangles)).toEqual([0, 1, 2, 0, 2, 3]);
    expect(read.findings).toEqual([]);
  });
  it('cuts faces of any size and passes over lines', () => {
    const read = readOff(text('OFF\n4 3 0\n0 0 0\n1 0 0\n1 1 0\n0 1 0\n4 0 1 2 3\n2 0 1\n1 2\n'));
    if (!read.ok) throw new Error(read.why);
    expect(Array.from(read.value.mesh.triangles)).toEqual([0, 1, 2, 0, 2, 3]);
    expect(read.findings).toMatchObject([{ code: 'ELEMENTS_IGNORED', measured: 2 }]);
  });
  it.each([
    [
      'more vertices than bytes',
      PLAIN.replace('4 2 0', '353535235358 2 0'),
      'FILE_TRUNCATED',
      /announces 353535235358/,
    ],
    ['more faces than bytes', PLAIN.replace('4 2 0', '4 4000000000 0'), 'FILE_TRUNCATED', /4000000000 faces/],
    ['a corner count beyond the end', PLAIN.replace('3 0 2 3', '999999999 0 2 3'), 'FILE_TRUNCATED', /face 2 of 2/],
    ['a missing face', PLAIN.replace('4 2 0', '4 3 0'), 'FILE_TRUNCATED', /face 3 of 3/],
    [
      'a vertex that is not there',
      PLAIN.replace('3 0 2 3', '3 0 2 4'),
      'FILE_MALFORMED',
      /Face 2 in line 8 names vertex 5/,
    ],
    ['a negative vertex', PLAIN.replace('3 0 2 3', '3 0 2 -1'), 'FILE_MALFORMED', /"-1" in line 8/],
    ['a word for a number', PLAIN.replace('1 1 0', '1 one 0'), 'FILE_MALFORMED', /line 5/],
    ['a count that is none', PLAIN.replace('4 2 0', '4 x 0'), 'FILE_MALFORMED', /"x" in line 2/],
    ['four dimensions', PLAIN.replace('OFF', '4OFF'), 'FILE_MALFORMED', /three dimensions/],
    ['a binary file', PLAIN.replace('OFF\n', 'OFF BINARY\n'), 'FILE_MALFORMED', /binary OFF/],
    ['a header alone', 'OFF', 'FILE_TRUNCATED', /header/],
  ])('refuses %s', (_what, file, code, why) => {
    const read = readOff(text(file));
    expect(read).toMatchObject({ ok: false, code });
    if (!read.ok) expect(read.why).toMatch(why);
  });
});
