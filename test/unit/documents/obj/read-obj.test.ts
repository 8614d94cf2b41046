// OBJ in every form it is found in: indices, polygons, groups, joined lines, what is passed over and what is refused.
import { describe, expect, it } from 'vitest';
import { readObj } from '../../../../src/documents/obj/read-obj.ts';
import { surfaceArea, volume } from '../../../../src/mesh/measure.ts';

const text = (s: string) => new TextEncoder().encode(s);
const SQUARE = 'v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\n';
const CUBE = `${SQUARE}v 0 0 1\nv 1 0 1\nv 1 1 1\nv 0 1 1\nf 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n`;

function read(file: string) {
  const outcome = readObj(text(file));
  if (!outcome.ok) throw new Error(`${outcome.code}: ${outcome.why}`);
  const { mesh, parts } = outcome.value;
  return { mesh, parts, triangles: Array.from(mesh.triangles), codes: outcome.findings.map((f) => f.code), outcome };
}

describe('faces', () => {
  it.each([
    ['v', 'f 1 2 3'],
    ['v/vt', 'vt 0 0\nf 1/1 2/1 3/1'],
    ['v//vn', 'vn 0 0 1\nf 1//1 2//1 3//1'],
    ['v/vt/vn', 'f 1/1/1 2/1/1 3/1/1'],
    ['v// with nothing behind', 'f 1// 2// 3//'],
    ['negative numbers', 'f -4 -3 -2'],
    ['mixed numbers', 'f 1/-1/-1 -3/1 3'],
    ['tabs and blanks', 'f\t1  2 \t 3  '],
    ['the old word', 'fo 1 2 3'],
    ['a comment behind', 'f 1 2 3 # last'],
    ['no line end', 'f 1 2 3'],
  ])('reads %s', (_what, face) => expect(read(SQUARE + face).triangles).toEqual([0, 1, 2]));
  it.each([
    ['LF', '\n'],
    ['CRLF', '\r\n'],
    ['CR', '\r'],
  ])('reads lines joined by a backslash and ended by %s', (_what, end) => {
    const file = `v 0 \\\n0 0\nv 1 0 0\nv 1\\\n 1 0\nv 0 1 0\n# a name ends with \\\nf 1 \\\n2 \\\n3\nusemtl c:\\\nf 1 3 4\n`;
    const read4 = read(file.replaceAll('\n', end));
    expect(read4.triangles).toEqual([0, 1, 2, 0, 2, 3]);
    expect(read4.mesh.positions).toEqual(Float64Array.of(0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0));
  });
  it('keeps doubles, and passes over weights and colours', () => {
    const { mesh } = read('v 0.1 -1e-3 12345678.901234 1\nv 1 0 0 0.5 0.5 0.5\nv +.5 7. 1E2 1 0 0 0\nf 1 2 3');
    expect(Array.from(mesh.positions)).toEqual([0.1, -0.001, 12345678.901234, 1, 0, 0, 0.5, 7, 100]);
  });
  it('reads vertices that come after the faces that name them', () => {
    expect(read(`f 1 2 3\n${SQUARE}`).triangles).toEqual([0, 1, 2]);
  });
  it('negative numbers count back from where they stand', () => {
    expect(read(`v 0 0 0\nv 1 0 0\nv 0 1 0\nf -3 -2 -1\nv 5 0 0\nv 6 0 0\nv 5 1 0\nf -3 -2 -1`).triangles).toEqual([
      0, 1, 2, 3, 4, 5,
    ]);
  });
  it('cuts quads into a closed cube', () => {
    const { mesh } = read(CUBE);
    expect([mesh.triangles.length / 3, volume(mesh), surfaceArea(mesh)]).toEqual([12, 1, 6]);
  });
  it('cuts a polygon that is not convex so that it is covered once', () => {
    // an L seen along z, its first corner opposite to the notch, then every start
    const outline = ['0 0 0', '2 0 0', '2 1 0', '1 1 0', '1 2 0', '0 2 0'];
    for (let turn = 0; turn < 6; turn++) {
      const ring = [...outline.slice(turn), ...outline.slice(0, turn)];
      const { mesh, codes } = read(`${ring.map((p) => `v ${p}`).join('\n')}\nf 1 2 3 4 5 6`);
      expect([mesh.triangles.length / 3, surfaceArea(mesh), codes]).toEqual([4, 3, []]);
    }
  });
});

describe('parts', () => {
  it.each([
    ['none named', 'f 1 2 3', 1],
    ['two objects', 'o a\nf 1 2 3\no b\nf 1 3 4', 2],
    ['groups within objects do not count', 'o a\ng x\nf 1 2 3\ng y\nf 1 3 4', 1],
    ['two groups', 'g a\nf 1 2 3\ng b c\nf 1 3 4', 2],
    ['empty names', 'o a\no b\nf 1 2 3\no c\n', 1],
    ['faces before the first name', 'f 1 2 3\no b\nf 1 3 4', 2],
  ])('counts %s', (_what, lines, parts) => expect(read(SQUARE + lines).parts).toBe(parts));
});

describe('what is passed over', () => {
  it('counts points, lines, curves, unknown lines and faces of two corners', () => {
    const { outcome, triangles } = read(
      `mtllib a.mtl\n${SQUARE}p 1\nl 1 2\ncurv 0 1 1 2\nwhatever 3\nf 1 2\nf 1 2 3\ns off\nvp 1 2\nusemtl x y\n`,
    );
    expect(triangles).toEqual([0, 1, 2]);
    expect(outcome.findings).toMatchObject([{ code: 'ELEMENTS_IGNORED', measured: 5 }]);
  });
  it('leaves out faces that name a vertex that is not there, and says which', () => {
    const { outcome, triangles } = read(`${SQUARE}f 1 2 3\nf 1 2 3\nf 1 9 3\nf 0 1 2\nf 1 3 4`);
    expect(triangles).toEqual([0, 1, 2, 0, 1, 2, 0, 2, 3]);
    expect(outcome.findings).toMatchObject([{ code: 'FACES_LEFT_OUT', measured: 2 }]);
    expect(outcome.findings[0]?.say).toMatch(/Face 3 in line 7 names vertex 9, but the file holds 4/);
  });
  it('leaves out triangles with a corner that is no number, and says where', () => {
    const { outcome, triangles } = read(`${SQUARE}v nan 0 0\nf 1 2 3\nf 1 2 5`);
    expect(triangles).toEqual([0, 1, 2]);
    expect(outcome.findings).toMatchObject([{ code: 'CORNERS_NOT_FINITE', measured: 1 }]);
    expect(outcome.findings[0]?.say).toMatch(/line 5/);
  });
});

describe('what is refused', () => {
  it.each([
    ['a vertex with two numbers', `${SQUARE}v 1 2\nf 1 2 3`, 'FILE_MALFORMED', /line 5/],
    ['a vertex with a word', `${SQUARE}v 1 x 2\nf 1 2 3`, 'FILE_MALFORMED', /line 5/],
    ['a corner that is a word', `${SQUARE}f 1 two 3`, 'FILE_MALFORMED', /"two" is no corner of a face \(line 5/],
    ['a corner with a fraction', `${SQUARE}f 1 2.5 3`, 'FILE_MALFORMED', /"2.5"/],
    ['mostly faces that cannot be', `${SQUARE}f 5 6 7\nf 1 2 3\nf 8 9 10`, 'FILE_MALFORMED', /Face 1 in line 5/],
    ['numbers beyond all counting', `${SQUARE}f ${'9'.repeat(400)} 1 2`, 'FILE_MALFORMED', /a vertex that cannot be/],
    ['only corners that are no numbers', 'v inf 0 0\nv nan 0 0\nv 1 1 1\nf 1 2 3', 'COORDINATE_NOT_FINITE', /line 1/],
  ])('%s', (_what, file, code, why) => {
    const outcome = readObj(text(file));
    expect(outcome).toMatchObject({ ok: false, code });
    if (!outcome.ok) expect(outcome.why).toMatch(why);
  });
});
