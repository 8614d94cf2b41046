// A letter stands on its part, in the widest place of what is seen of it.
import { expect, it } from 'vitest';
import { lineDrawing } from '../../../../src/documents/drawing/line-drawing.ts';
import { box } from '../../../../src/mesh/builders.ts';

const size = { viewDir: [0, 1, 0], widthMm: 102, maxHeightMm: 200, marginMm: 1 } as const;

it('stands clear of what hides part of it, and ways have numbers', () => {
  const wall = { id: 'A', mesh: box([0, 0, 0], [100, 2, 40]), letter: 'A' };
  const before = { id: 'B', mesh: box([0, -20, 0], [70, -10, 40]), letter: 'B' };
  const ways = [{ points: Float32Array.of(35, -30, 45, 95, -30, 45), name: '1' }];
  const { names, paths } = lineDrawing(
    [{ ...wall, ways }, before, { id: 'C', mesh: box([0, 0, 45], [100, 2, 50]) }],
    size,
  );
  const at = (text: string) => names.find((name) => name.text === text)!;
  // 100 mm of model fill the paper: A is seen from 70 on, B stands before the rest
  expect(at('A').x).toBeGreaterThan(76);
  expect(at('A').x).toBeLessThan(96);
  expect(at('B').x).toBeGreaterThan(15);
  expect(at('B').x).toBeLessThan(56);
  expect(at('1').look).toBe('step');
  expect(paths.some(({ kind, hidden }) => kind === 'way' && !hidden)).toBe(true);
});

it('is left out where nothing of the part is seen', () => {
  const hidden = { id: 'A', mesh: box([10, 0, 10], [20, 2, 20]), letter: 'A' };
  const before = { id: 'B', mesh: box([0, -20, 0], [70, -10, 40]), letter: 'B' };
  expect(lineDrawing([hidden, before], size).names.map(({ text }) => text)).toEqual(['B']);
});
