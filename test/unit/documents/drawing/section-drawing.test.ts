// A section drawing is true to scale, ends at its window, and hatches what is inside and nothing else.
import { describe, expect, it } from 'vitest';
import { sectionDrawing } from '../../../../src/documents/drawing/section-drawing.ts';

const square = (low: number, high: number) => Float64Array.of(low, low, high, low, high, high, low, high);
const options = { minMm: [-10, -5], maxMm: [10, 5], scale: 2, names: [], title: 'a square' } as const;

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
    const svg = sectionDrawing([{ id: 'A', loops: [square(-2, 3)], hatchDeg: 45, hatchMm: 1 }], options);
    const lines = strokes(svg, OUTLINE);
    expect(sum(lines)).toBeCloseTo(4 * 5 * 2, 1);
    expect(lines[0]).toEqual([16, 14, 26, 14]);
    expect(svg).toContain('width="40mm" height="20mm"');
  });

  it('ends at the window and does not close along its edge', () => {
    const svg = sectionDrawing([{ id: 'A', loops: [square(0, 50)], hatchDeg: 45, hatchMm: 1 }], options);
    // from the corner at 0, 0: 10 mm to the right, 5 mm up
    expect(sum(strokes(svg, OUTLINE))).toBeCloseTo((10 + 5) * 2, 1);
  });

  it('leaves out what does not meet the window', () => {
    const svg = sectionDrawing([{ id: 'A', loops: [square(20, 50)], hatchDeg: 45, hatchMm: 1 }], options);
    expect(svg).not.toContain('data-part');
  });

  it('hatches the inside, not the hole: lines as long as area over spacing', () => {
    for (const hatchDeg of [45, -45, 0, 30]) {
      const svg = sectionDrawing(
        [{ id: 'A', loops: [square(-4, 4), square(-2, 2)], hatchDeg, hatchMm: 0.25 }],
        options,
      );
      const areaMm2 = (64 - 16) * 4;
      expect(Math.abs((sum(strokes(svg, HATCHING)) * 0.25) / areaMm2 - 1)).toBeLessThan(0.05);
    }
  });

  it('says what it is, and keeps markup out of names', () => {
    const svg = sectionDrawing([], { ...options, title: 'A & B', names: [{ text: '<A>', x: 0, y: 0 }] });
    expect(svg).toContain('<title>A &amp; B</title>');
    expect(svg).toContain('&lt;A&gt;');
  });
});
