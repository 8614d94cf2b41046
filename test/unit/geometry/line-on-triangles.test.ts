import { describe, expect, it } from 'vitest';
import { lineOnTriangles } from '../../../src/geometry/line-on-triangles.ts';
import { unit } from '../../../src/geometry/three-by-three.ts';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import { sphereMesh } from '../../support/pieces/round-shapes.ts';

const RADIUS_MM = 100;
const ball = sphereMesh(RADIUS_MM, 5);
const middleZ = (tri: number): number =>
  [0, 1, 2].reduce((sum, c) => sum + ball.positions[ball.triangles[tri * 3 + c]! * 3 + 2]! / 3, 0);
/** Dear above the middle, cheap below. */
const price = Float64Array.from({ length: ball.triangles.length / 3 }, (_, tri) => (middleZ(tri) > 0 ? 1 : 0.1));
const priced = { ...ball, price };

describe('a line on a ball', () => {
  const normals: readonly Vec3[] = [
    [0, 0, 1],
    [1, 0, 0],
    [2, -1, 2],
  ];
  for (const normal of normals) {
    it(`is as long as the circle, square to ${normal.join(', ')}`, () => {
      for (const offsetMm of [-70, -30, 0, 12.3, 55]) {
        const circle = 2 * Math.PI * Math.sqrt(RADIUS_MM ** 2 - offsetMm ** 2);
        const { lengthMm, steps } = lineOnTriangles(priced, { normal: unit(normal), offsetMm });
        expect(Math.abs(lengthMm / circle - 1)).toBeLessThan(0.003);
        let summed = 0;
        for (let i = 0; i < steps.length; i += 6)
          summed += Math.hypot(steps[i]! - steps[i + 3]!, steps[i + 1]! - steps[i + 4]!, steps[i + 2]! - steps[i + 5]!);
        expect(Math.abs(summed / lengthMm - 1)).toBeLessThan(1e-5);
      }
    });
  }

  it('counts each millimetre at its price, and nothing where there is none', () => {
    const plane = { normal: [1, 0, 0] as const, offsetMm: 0.01 };
    const { lengthMm, costMm } = lineOnTriangles(priced, plane);
    expect(Math.abs(costMm / lengthMm - 0.55)).toBeLessThan(0.003);
    const upper = lineOnTriangles({ ...ball, price: price.map((one) => (one === 1 ? 200 : 0)) }, plane, {
      fullPrice: 200,
    });
    expect(Math.abs(upper.lengthMm / lengthMm - 0.5)).toBeLessThan(0.003);
    expect(upper.costMm).toBeCloseTo(upper.lengthMm, 9);
  });

  it('ends at the planes that cut before it', () => {
    const plane = { normal: [1, 0, 0] as const, offsetMm: 0.01 };
    const level = { normal: [0, 0, 1] as const, offsetMm: 50 };
    const whole = lineOnTriangles(priced, plane).lengthMm;
    const above = lineOnTriangles(priced, plane, { sides: [{ plane: level, sign: 1 }] }).lengthMm;
    const below = lineOnTriangles(priced, plane, { sides: [{ plane: level, sign: -1 }] }).lengthMm;
    // z over half the radius: a third of the circle
    expect(Math.abs(above / whole - 1 / 3)).toBeLessThan(0.01);
    expect(above + below).toBeCloseTo(whole, 6);
  });

  it('is nothing where the plane misses', () => {
    expect(lineOnTriangles(priced, { normal: [0, 0, 1], offsetMm: 130 }).lengthMm).toBe(0);
  });
});
