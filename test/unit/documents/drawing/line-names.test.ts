import { describe, expect, it } from 'vitest';
import { placedNames } from '../../../../src/documents/drawing/line-names.ts';

const run = (text: string, ...points: number[]) => ({ text, points: Float32Array.from(points) });

describe('names of lines', () => {
  it('stand once, in the middle of the longest stretch that is seen', () => {
    const names = placedNames([run('A-B', 0, 0, 5, 0), run('A-B', 0, 10, 20, 10, 40, 10)]);
    expect(names).toEqual([{ text: 'A-B', x: 20, y: 10 }]);
  });

  it('keep clear of each other, the longer line first', () => {
    const names = placedNames([run('short', 18, 0, 18, 20), run('long', 0, 10, 40, 10)]);
    expect(names[0]).toEqual({ text: 'long', x: 20, y: 10 });
    expect(names[1]!.text).toBe('short');
    expect(Math.hypot(names[1]!.x - 20, names[1]!.y - 10)).toBeGreaterThanOrEqual(6);
  });

  it('of steps stand near where their way begins, so that ways that cross are told apart', () => {
    const way = (text: string, ...points: number[]) => ({ ...run(text, ...points), look: 'step' as const });
    const names = placedNames([way('1', 0, 0, 40, 40), way('3', 0, 40, 40, 0)]);
    expect(names).toEqual([
      { text: '1', x: 10, y: 10, look: 'step' },
      { text: '3', x: 10, y: 30, look: 'step' },
    ]);
  });

  it('are left out where there is no room', () => {
    expect(placedNames([run('speck', 0, 0, 3, 0)])).toEqual([]);
    expect(placedNames([run('one', 0, 0, 8, 0), run('other', 1, 1, 7, 1)]).map(({ text }) => text)).toEqual(['one']);
  });
});
