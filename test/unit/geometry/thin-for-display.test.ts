import { describe, expect, it } from 'vitest';
import { thinForDisplay } from '../../../src/geometry/thin-for-display.ts';
import { bowl, box, icoSphere, together } from '../../../src/mesh/builders.ts';
import { bounds, surfaceArea, volume } from '../../../src/mesh/measure.ts';
import { meshOf, numTris, numVerts } from '../../../src/mesh/mesh.ts';
import { turnedInsideOut } from '../../../src/mesh/topology.ts';

const ball = icoSphere(100, 6);

describe('thinning for display', () => {
  it('leaves a small mesh as it is', () => {
    const small = box([0, 0, 0], [1, 2, 3]);
    expect(thinForDisplay(small, { triangles: 12 })).toBe(small);
  });

  it.each([20_000, 4000, 600])('keeps a ball round at %i triangles', (triangles) => {
    const thin = thinForDisplay(ball, { triangles });
    expect(numTris(thin)).toBeLessThanOrEqual(triangles);
    expect(numTris(thin)).toBeGreaterThan(triangles / 4);
    expect(volume(thin) / volume(ball)).toBeGreaterThan(0.97);
    expect(volume(thin) / volume(ball)).toBeLessThan(1.03);
  });

  it('keeps both sides of a wall thinner than its cells', () => {
    const shell = bowl({ outerMm: 100, wallMm: 1 }, 160);
    const thin = thinForDisplay(shell, { triangles: 4000 });
    expect(surfaceArea(thin) / surfaceArea(shell)).toBeGreaterThan(0.94);
    expect(surfaceArea(thin) / surfaceArea(shell)).toBeLessThan(1.06);
  });

  it('takes open, crossing, flat and turned surfaces', () => {
    const open = meshOf(ball.positions, ball.triangles.subarray(0, ball.triangles.length - 3000));
    const flat = meshOf(
      ball.positions.map((c, i) => (i % 3 === 2 ? 0 : c)),
      ball.triangles,
    );
    for (const awkward of [open, flat, together([ball, ball]), turnedInsideOut(ball)]) {
      const thin = thinForDisplay(awkward, { triangles: 3000 });
      expect(numTris(thin)).toBeLessThanOrEqual(3000);
      expect(thin.positions.every(Number.isFinite)).toBe(true);
      expect(thin.triangles.every((vert) => vert < numVerts(thin))).toBe(true);
    }
  });

  it('ends on a mesh of points and needles', () => {
    const positions = new Float64Array(9000).map((_, i) => (i % 3 === 0 ? i : 0));
    const triangles = new Uint32Array(9000).map((_, i) => (i * 7) % 3000);
    expect(numTris(thinForDisplay(meshOf(positions, triangles), { triangles: 100 }))).toBeLessThanOrEqual(100);
  });

  it('stays inside the box', () => {
    const thin = bounds(thinForDisplay(ball, { triangles: 2000 }));
    expect(Math.max(...thin.maxMm)).toBeLessThan(104);
    expect(Math.min(...thin.minMm)).toBeGreaterThan(-104);
  });
});
