import { describe, expect, it } from 'vitest';
import { openEdgeChains, openEdgeLines } from '../../../src/geometry/open-edge-lines.ts';
import { box, icoSphere } from '../../../src/mesh/builders.ts';
import { meshOf } from '../../../src/mesh/mesh.ts';

const cube = box([0, 0, 0], [10, 10, 10]);
const ball = icoSphere(10, 3);

describe('open edges', () => {
  it('are none on a closed surface', () => {
    expect(openEdgeLines(cube, { most: 10 })).toHaveLength(0);
    expect(openEdgeChains(ball)).toHaveLength(0);
  });

  it('go once round a missing triangle and come back to the first point', () => {
    const open = meshOf(ball.positions, ball.triangles.subarray(3));
    expect(openEdgeLines(open, { most: 10 })).toHaveLength(18);
    const [ring, ...others] = openEdgeChains(open);
    expect(others).toHaveLength(0);
    expect(ring).toHaveLength(12);
    expect([...ring!.subarray(0, 3)]).toEqual([...ring!.subarray(9)]);
  });

  it('are the longest when there are too many', () => {
    const strip = meshOf(Float64Array.from([0, 0, 0, 1, 0, 0, 0, 5, 0]), Uint32Array.from([0, 1, 2]));
    const lines = openEdgeLines(strip, { most: 2 });
    expect(lines).toHaveLength(12);
    const lengths = [0, 6].map((i) => Math.hypot(lines[i]! - lines[i + 3]!, lines[i + 1]! - lines[i + 4]!));
    expect(Math.min(...lengths)).toBeCloseTo(5, 6);
  });

  it('are each drawn once, whichever way their faces run', () => {
    const clash = meshOf(Float64Array.from([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0]), Uint32Array.from([0, 1, 2, 0, 3, 2]));
    const edges = openEdgeChains(clash).reduce((sum, chain) => sum + chain.length / 3 - 1, 0);
    expect(edges).toBe(4);
  });
});
