// Places at which a joint was asked for, found again on the seams of a division.
import { describe, expect, it } from 'vitest';
import { nearestSeams } from '../../../../src/workshop/process/asked-joints.ts';

const seam = (...points: number[]) => ({ outlines: [Float32Array.from(points)] });
const seams = [seam(0, 0, 0, 10, 0, 0), seam(0, 0, 100, 10, 0, 100)];

describe('the seam of a place', () => {
  it('is the nearest one, at worn size', () => {
    const found = nearestSeams([{ atMm: [10, 0, 47] }, { atMm: [0, 2, 0] }], seams, 2);
    expect(found.map(({ seam: at }) => at)).toEqual([1, 0]);
    expect(found.map(({ apartMm }) => apartMm)).toEqual([Math.hypot(10, 6), 4]);
    expect(found[0]!.atMm).toEqual([20, 0, 94]);
  });

  it('is none where the nearest passes more than 12 mm away, or there is none', () => {
    expect(nearestSeams([{ atMm: [0, 12, 0] }], seams, 1)[0]!.seam).toBe(0);
    expect(nearestSeams([{ atMm: [0, 12.1, 0] }], seams, 1)[0]!.seam).toBeNull();
    expect(nearestSeams([{ atMm: [0, 0, 0] }], [], 1)[0]).toEqual({ seam: null, apartMm: Infinity, atMm: [0, 0, 0] });
  });
});
