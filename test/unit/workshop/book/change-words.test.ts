import { describe, expect, it } from 'vitest';
import { changeBuild } from '../../../../src/app/server/change-build.ts';
import type { BookText, Span } from '../../../../src/workshop/book/book-text.ts';
import { type Build, newBuild } from '../../../../src/workshop/book/build-file.ts';
import { changeWords, controlsOf } from '../../../../src/workshop/book/change-words.ts';
import { changedPaths } from '../../../../src/workshop/book/changed-paths.ts';
import { unwrittenBook } from '../../../../src/workshop/book/unwritten-book.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { PETG } from '../../../../src/workshop/facts/materials.ts';

const build = newBuild({ name: 'A helm', file: 'helm.stl', sha256: 'a'.repeat(64) });
const small = ordinaryMachine([180, 180, 180]);

/** The build with the values set at their paths. */
function changed(values: Readonly<Record<string, unknown>>): Build {
  return Object.entries(values).reduce<Build>((before, [path, value]) => {
    const after = changeBuild(before, { path, value: value as never });
    if (!after.ok) throw new Error(after.why);
    return after.value;
  }, build);
}

const spans: readonly Span[] = [
  {
    s: 'number',
    path: 'print.layerMm',
    label: 'Layer height',
    value: 0.2,
    unit: 'mm',
    digits: 2,
    min: 0.05,
    max: 1,
    step: 0.02,
    usual: 0.2,
    follows: [],
  },
  {
    s: 'choice',
    path: 'wearer.size',
    label: 'How the size is set',
    value: JSON.stringify(build.wearer.size),
    options: [
      { value: JSON.stringify(build.wearer.size), label: 'as it came' },
      { value: JSON.stringify({ by: 'height', heightMm: 300 }), label: 'by its height' },
    ],
    follows: [],
  },
  {
    s: 'choice',
    path: 'model.level.up',
    label: 'Which way of the file is up',
    value: 'null',
    options: [
      { value: 'null', label: 'where it was found' },
      { value: '[0,1,0]', label: 'along +y of the file' },
    ],
    follows: [],
  },
];
const text: BookText = {
  kind: 'book-text',
  version: 1,
  title: '',
  standfirst: [],
  chapters: [
    {
      name: 'model',
      title: '',
      asks: '',
      state: 'computed',
      fingerprint: '',
      decisions: [],
      margin: [],
      blocks: [{ b: 'say', spans }],
    },
  ],
};

describe('a change in words', () => {
  it.each<readonly [says: string, values: Readonly<Record<string, unknown>>]>([
    ['Layer height: 0.2 mm to 0.28 mm', { 'print.layerMm': 0.28 }],
    ['Title: “A helm” to “Storm helm”', { name: 'Storm helm' }],
    ['Bed width: 220 mm to 180 mm', { 'machines.0.bedMm.0': 180 }],
    ['Outer pass speed: 40 mm/s to 55 mm/s', { 'machines.0.outerWallSpeedMmS': 55 }],
    ['Print, infill: 10 % to 20 %', { 'print.infillPercent': 20 }],
    ['Machines: a second one, 180 x 180 x 180 mm machine', { 'machines.1': small }],
    ['Machine: 220 x 220 x 250 mm machine to 180 x 180 x 180 mm machine', { 'machines.0': small }],
    ['Material: PLA to PETG', { material: PETG }],
    ['How the size is set: as it came to by its height', { 'wearer.size': { by: 'height', heightMm: 300 } }],
    ['Which way of the file is up: where it was found to along +y of the file', { 'model.level.up': [0, 1, 0] }],
    [
      '220 x 220 x 250 mm machine: outer pass speed 40 to 60 mm/s, power 120 to 150 W',
      { 'machines.0': { ...build.machines[0], outerWallSpeedMmS: 60, powerW: 150, revision: 4 } },
    ],
    [
      'Layer height: 0.2 mm to 0.3 mm; Print, contour passes: 3 to 4; Print, infill: 10 % to 5 %; and 1 more',
      { 'print.layerMm': 0.3, 'print.contourPasses': 4, 'print.infillPercent': 5, 'print.closingLayers': 2 },
    ],
    ['Nothing changed', {}],
  ])('%s', (says, values) => {
    expect(changeWords(build, changed(values), controlsOf(text)).replaceAll('\u00a0', ' ')).toBe(says);
  });

  it('reads backwards as the way back', () => {
    const after = changed({ 'machines.1': small });
    expect(changeWords(after, build, controlsOf(text))).toBe('Machines: 180 x 180 x 180 mm machine taken away');
  });

  it('has the labels of a book that was never computed', () => {
    const values = { 'print.layerMm': 0.3, 'pieces.marginMm': 7, 'wearer.size.scale': 1.1 };
    expect(changeWords(build, changed(values), controlsOf(unwrittenBook(build))).replaceAll('\u00a0', ' ')).toBe(
      'Factor: 1 to 1.1; Margin: 5 mm to 7 mm; Layer height: 0.2 mm to 0.3 mm',
    );
  });

  it('finds no path where nothing differs, and the smallest ones where something does', () => {
    expect(changedPaths(build, structuredClone(build))).toEqual([]);
    const after = changed({ 'print.layerMm': 0.3, 'machines.0.bedMm.2': 260 });
    expect(changedPaths(build, after)).toEqual(['machines.0.bedMm.2', 'print.layerMm']);
  });
});

describe('what is asked of the seams', () => {
  const seam = (name: string, z: number) => ({
    name,
    points: [{ atMm: [0, -100, z], normal: [0, -1, 0] }],
    normal: [0, 0, 1],
  });
  const area = { name: 'Badge', outline: [0, 1, 2].map((x) => ({ atMm: [x, -100, x * x], normal: [0, -1, 0] })) };
  const asked = (values: Readonly<Record<string, unknown>>): Build =>
    changed({ 'pieces.asked': { clear: [], seams: [], machines: [], ...values } });
  const words = (before: Build, after: Build): string => changeWords(before, after, controlsOf(text));

  it('is told by name: asked for, moved, renamed, let go', () => {
    const held = asked({ seams: [seam('Brow', 150)] });
    expect(words(build, held)).toBe('Asked of the seams: “Brow” is asked for');
    expect(words(held, asked({ seams: [seam('Brow', 160)] }))).toBe('Asked of the seams: “Brow” moved');
    expect(words(held, asked({ seams: [seam('Line', 150)] }))).toBe('Asked of the seams: “Brow” is now “Line”');
    expect(words(held, build)).toBe('Asked of the seams: “Brow” is no longer asked for');
    expect(words(held, asked({ seams: [seam('Brow', 150)], clear: [area] }))).toBe(
      'Asked of the seams: “Badge” is kept clear',
    );
  });
});
