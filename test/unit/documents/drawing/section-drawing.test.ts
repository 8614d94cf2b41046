// A section drawing is true to scale, ends at its window, and hatches what is inside and nothing else.
import { describe, expect, it } from 'vitest';
import { type SectionView, sectionSheet } from '../../../../src/documents/drawing/section-drawing.ts';
import type { SectionPart } from '../../../../src/documents/drawing/section-lines.ts';

const square = (low: number, high: number) => Float64Array.of(low, low, high, low, high, high, low, high);
const view: SectionView = { parts: [], minMm: [-10, -5], maxMm: [10, 5], names: [], caption: '' };
const sheet = { scale: 2, title: 'a square', barMm: null } as const;
const drawn = (parts: readonly SectionPart[]): string => sectionSheet([{ ...view, parts }], sheet);

function strokes(svg: string, which: RegExp): number[][] {
  const d = which.exec(svg)?.[1] ?? '';
  const out: number[][] = [];
  let at: number[] = [];
  for (const [, letter, x, y] of d.matchAll(/([ML])(-?[\d.]+) (-?[\d.]+)/g)) {
    const to = [Number(x), Number(y)];
    if (letter === 'L') out.push([...at, ...to]);
    at = to;
  }
  return out;
}

const length = ([ax, ay, bx, by]: number[]) => Math.hypot(bx! - ax!, by! - ay!);
const sum = (lines: number[][]) => lines.reduce((total, line) => total + length(line), 0);
const OUTLINE = /data-part="A" d="([^"]*)"/;
const HATCHING = /stroke-width="0.13" d="([^"]*)"/;

describe('a section drawing', () => {
  it('draws an outline at its scale, y up', () => {
    const svg = drawn([{ id: 'A', loops: [square(-2, 3)], hatchDeg: 45, hatchMm: 1 }]);
    const lines = strokes(svg, OUTLINE);
    expect(sum(lines)).toBeCloseTo(4 * 5 * 2, 1);
    expect(lines[0]).toEqual([16, 14, 26, 14]);
    expect(svg).toContain('width="40mm" height="20mm"');
  });

  it('ends at the window and does not close along its edge', () => {
    const svg = drawn([{ id: 'A', loops: [square(0, 50)], hatchDeg: 45, hatchMm: 1 }]);
    // from the corner at 0, 0: 10 mm to the right, 5 mm up
    expect(sum(strokes(svg, OUTLINE))).toBeCloseTo((10 + 5) * 2, 1);
  });

  it('leaves out what does not meet the window', () => {
    const svg = drawn([{ id: 'A', loops: [square(20, 50)], hatchDeg: 45, hatchMm: 1 }]);
    expect(svg).not.toContain('data-part');
  });

  it('hatches the inside, not the hole: lines as long as area over spacing', () => {
    for (const hatchDeg of [45, -45, 0, 30]) {
      const svg = drawn([{ id: 'A', loops: [square(-4, 4), square(-2, 2)], hatchDeg, hatchMm: 0.25 }]);
      const areaMm2 = (64 - 16) * 4;
      expect(Math.abs((sum(strokes(svg, HATCHING)) * 0.25) / areaMm2 - 1)).toBeLessThan(0.05);
    }
  });

  it('says what it is, and keeps markup out of names', () => {
    const svg = sectionSheet([{ ...view, names: [{ text: '<A>', x: 0, y: 0 }] }], { ...sheet, title: 'A & B' });
    expect(svg).toContain('<title>A &amp; B</title>');
    expect(svg).toContain('&lt;A&gt;');
  });

  it('sets views side by side, their floors at one height, over a bar of the scale', () => {
    const low = { ...view, minMm: [-4, -2], maxMm: [4, 2], caption: 'across' } as const;
    const svg = sectionSheet([{ ...view, caption: 'through' }, low], { ...sheet, barMm: 10 });
    // 20 and 8 mm at 2:1, 6 mm between; 20 mm high, 7.5 mm for captions, 6.5 mm for the bar
    expect(svg).toContain('width="62mm" height="34mm"');
    expect([...svg.matchAll(/<g transform="translate\(([^)]*)\)/g)].map(([, at]) => at)).toEqual(['0 0', '46 12']);
    const [, from, to] = /class="bar"[^>]* d="M([\d.]+) [^H]*H([\d.]+)/.exec(svg)!;
    expect(Number(to) - Number(from)).toBeCloseTo(20, 6);
    expect(svg).toContain('>10 mm</text>');
  });

  it('leads from a word to its place', () => {
    const svg = sectionSheet([{ ...view, names: [{ text: 'gap', x: 0, y: -4, quiet: true, to: [3, 1] }] }], sheet);
    expect(svg).toContain('<circle cx="26" cy="8"');
  });
});
