import { describe, expect, it } from 'vitest';
import { evenDirections } from '../../../src/geometry/half-sphere-directions.ts';

describe('even directions', () => {
  it.each([
    [0, 3],
    [1, 9],
    [2, 33],
    [3, 129],
  ])('level %i gives %i, half the vertices of the octahedron subdivided so often', (level, count) => {
    expect(evenDirections(level)).toHaveLength(count);
  });

  it('are units, none the opposite of another, and mirrored ones are in the set', () => {
    const all = evenDirections(3);
    for (const [x, y, z] of all) {
      expect(Math.hypot(x, y, z)).toBeCloseTo(1, 12);
      const hasMirror = all.some((d) => Math.abs(Math.abs(-d[0] * x + d[1] * y + d[2] * z) - 1) < 1e-12);
      expect(hasMirror).toBe(true);
    }
    for (let i = 0; i < all.length; i++) {
      for (let j = 0; j < i; j++) {
        const [a, b] = [all[i]!, all[j]!];
        expect(Math.abs(a[0] * b[0] + a[1] * b[1] + a[2] * b[2])).toBeLessThan(0.9999);
      }
    }
  });

  it.each([1, 2, 3])('level %i: the first half is its own mirror image in each axis plane too', (level) => {
    const all = evenDirections(level);
    const half = all.slice(0, Math.ceil(all.length / 2));
    for (const [x, y, z] of half) {
      for (const [a, b, c] of [
        [-x, y, z],
        [x, -y, z],
        [x, y, -z],
      ] as const) {
        expect(half.some((d) => Math.abs(Math.abs(a * d[0] + b * d[1] + c * d[2]) - 1) < 1e-12)).toBe(true);
      }
    }
  });
});
