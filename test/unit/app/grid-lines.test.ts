// Lines on a grid of two bytes a number: as near as it says, and nothing lost at its ends.
import { describe, expect, it } from 'vitest';
import { offGrid, onGrid } from '../../../src/app/api/grid-lines.ts';

describe('lines on a grid', () => {
  it.each([1, 300, 2500])('are off by half a step at most, %d mm across', (mm) => {
    const lines = Float32Array.from({ length: 600 }, (_, i) => mm * Math.sin(i * i));
    const { grid, steps } = onGrid(lines);
    expect(steps.byteLength).toBe(lines.byteLength / 2);
    const back = offGrid(grid, steps);
    // the rounding of single numbers comes on top
    const most = grid.stepMm / 2 + mm * 2 ** -23;
    for (let i = 0; i < lines.length; i++) expect(Math.abs(back[i]! - lines[i]!)).toBeLessThanOrEqual(most);
    expect(grid.stepMm).toBeLessThan((2.01 * mm) / 65_535);
  });

  it('may all lie in one place, or be none', () => {
    const still = Float32Array.of(4, 5, 6, 4, 5, 6);
    const { grid, steps } = onGrid(still);
    expect(offGrid(grid, steps)).toEqual(still);
    const none = onGrid(new Float32Array());
    expect(offGrid(none.grid, none.steps)).toEqual(new Float32Array());
  });
});
