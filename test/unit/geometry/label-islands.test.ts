// Specks of one kind within the other are taken out; what is large stays, to the triangle.
import { describe, expect, it } from 'vitest';
import { withoutIslands } from '../../../src/geometry/label-islands.ts';
import { icoSphere } from '../../../src/mesh/builders.ts';
import { numTris } from '../../../src/mesh/mesh.ts';

const ball = icoSphere(10, 3);
const heights = Array.from({ length: numTris(ball) }, (_, tri) =>
  [0, 1, 2].reduce((sum, k) => sum + ball.positions[ball.triangles[tri * 3 + k]! * 3 + 2]!, 0),
);
const upper = Uint8Array.from(heights, (height) => (height > 0 ? 1 : 0));

describe('islands of a label', () => {
  it('leaves halves as they are', () => {
    expect(withoutIslands(ball, upper, 100)).toEqual(upper);
  });

  it('takes single triangles back, of either kind', () => {
    const high = heights.indexOf(Math.max(...heights));
    const low = heights.indexOf(Math.min(...heights));
    const specked = upper.slice();
    specked[high] = 0;
    specked[low] = 1;
    expect(withoutIslands(ball, specked, 5)).toEqual(upper);
  });

  it('leaves a surface of one kind alone, however small', () => {
    const all = upper.map(() => 1);
    expect(withoutIslands(ball, all, 1e6)).toEqual(all);
  });
});
