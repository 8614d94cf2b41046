// Words in a section find room: letters in walls, words where nothing is drawn.
import { describe, expect, it } from 'vitest';
import { drawnHeights, freePlace, wallMiddle } from '../../../../src/documents/drawing/section-room.ts';

const rectangle = (x: number, y: number, wide: number, high: number) =>
  Float64Array.of(x, y, x + wide, y, x + wide, y + high, x, y + high);
const window = { minMm: [-10, -10], maxMm: [10, 10] } as const;
/** Two walls, one above the other, the lower one with a hole. */
const part = { loops: [rectangle(-8, 2, 16, 3), rectangle(-8, -6, 16, 4), rectangle(-1, -5, 2, 2)] };

describe('the middle of a wall', () => {
  it('is that of the wall nearest to a height', () => {
    expect(wallMiddle(part, 4, { ...window, nearY: 9, leastMm: 1 })).toEqual([4, 3.5]);
    expect(wallMiddle(part, 4, { ...window, nearY: -9, leastMm: 1 })).toEqual([4, -4]);
  });

  it('is not beside the part, and not in a wall too thin', () => {
    expect(wallMiddle(part, 9, { ...window, nearY: 0, leastMm: 1 })).toBeNull();
    expect(wallMiddle(part, 0, { ...window, nearY: -9, leastMm: 0.8 })).toEqual([0, -5.5]);
    expect(wallMiddle(part, 0, { ...window, nearY: -9, leastMm: 1.2 })).toEqual([0, 3.5]);
  });

  it('counts a wall only as far as it is in view', () => {
    const low = { minMm: [-10, -10], maxMm: [10, 3] } as const;
    expect(wallMiddle(part, 4, { ...low, nearY: 9, leastMm: 0.5 })).toEqual([4, 2.5]);
  });
});

describe('a free place', () => {
  const box = { widthMm: 4, heightMm: 2, side: 1, nearX: 0 } as const;
  it('lies at the edge, as near as it can', () => {
    expect(freePlace([part], window, box)).toEqual([0, 9]);
    expect(freePlace([part], window, { ...box, side: -1, nearX: 10 })).toEqual([8, -9]);
  });

  it('keeps clear of what is drawn, of what is inside, and of words before it', () => {
    const post = { loops: [rectangle(-1, 6, 2, 20)] };
    const [x] = freePlace([part, post], window, box)!;
    expect(Math.abs(x)).toBeGreaterThanOrEqual(3);
    expect(freePlace([{ loops: [rectangle(-20, -20, 40, 40)] }], window, box)).toBeNull();
    const [beside] = freePlace([part], window, { ...box, taken: [[0, 4]] })!;
    expect(Math.abs(beside)).toBeGreaterThanOrEqual(4);
    expect(freePlace([], window, { ...box, widthMm: 21 })).toBeNull();
  });
});

it('knows how high the drawing is', () => {
  expect(drawnHeights([part], window)).toEqual([-6, 5]);
  expect(drawnHeights([part], { minMm: [-10, 0], maxMm: [10, 4] })).toEqual([2, 4]);
  expect(drawnHeights([], window)).toBeNull();
});
