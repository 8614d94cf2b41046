import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../../../src/mesh/mesh.ts';
import {
  areasAt,
  areasOfTriangles,
  isOver,
  lineWithin,
  wornArea,
} from '../../../../../src/workshop/pieces/asked/asked-areas.ts';
import { ClearArea } from '../../../../../src/workshop/process/asked-seams.ts';
import { sphereMesh } from '../../../../support/pieces/round-shapes.ts';

/** A square of 40 mm on the front of a ball of radius 100, its middle at (0, -100, 0). */
const square = ClearArea.parse({
  name: 'Badge',
  outline: [
    [-20, -20],
    [20, -20],
    [20, 20],
    [-20, 20],
  ].map(([x, z]) => {
    const y = -Math.sqrt(100 ** 2 - x! ** 2 - z! ** 2);
    return { atMm: [x, y, z], normal: [x! / 100, y / 100, z! / 100] };
  }),
});

describe('an area kept clear', () => {
  it('holds what lies in its outline and faces its way, also where the surface bulges out of it', () => {
    const area = wornArea(square, 0, 1);
    expect(isOver(area, [0, -100, 0])).toBe(true);
    expect(isOver(area, [19, -98, 19])).toBe(true);
    expect(isOver(area, [21, -98, 0])).toBe(false);
    const points = Float64Array.from([0, -100, 0, 0, -97, 0, 0, 100, 0, 30, -95, 0]);
    const normals = Float64Array.from([0, -1, 0, 0, 1, 0, 0, 1, 0, 0.3, -0.95, 0]);
    // on it, inside the wall behind it, at the far side, beside it
    expect([...areasAt([area], points, normals)]).toEqual([1, 0, 0, 0]);
  });

  it('has the area on a ball that its outline cuts out, at any size', () => {
    const ball = sphereMesh(150, 6);
    const area = wornArea(square, 0, 1.5);
    const mine = areasOfTriangles([area], ball);
    let mm2 = 0;
    const corner = (v: number): Vec3 => [
      ball.positions[v * 3]!,
      ball.positions[v * 3 + 1]!,
      ball.positions[v * 3 + 2]!,
    ];
    for (let t = 0; t < mine.length; t++) {
      if (mine[t] === 0) continue;
      const [a, b, c] = [0, 1, 2].map((k) => corner(ball.triangles[t * 3 + k]!)) as [Vec3, Vec3, Vec3];
      const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
      const [vx, vy, vz] = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
      mm2 += Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
    }
    // a square of 60 x 60 seen straight on; the surface leans away by up to 16 degrees: 3600 / mean cosine, 3649 by series
    expect(mm2).toBeGreaterThan(3649 * 0.97);
    expect(mm2).toBeLessThan(3649 * 1.03);
  });

  it('tells how much of a line crosses it', () => {
    const area = wornArea(square, 0, 1);
    const steps = 400;
    const line = new Float32Array((steps + 1) * 3);
    for (let i = 0; i <= steps; i++) line.set([-50 + i / 4, -100, 0], i * 3);
    expect(lineWithin(area, line)).toBeCloseTo(40, 0);
    const beside = line.map((value, i) => (i % 3 === 2 ? 25 : value));
    expect(lineWithin(area, beside)).toBe(0);
  });

  it('finds its way by the turn of the outline where normals point all ways', () => {
    const round = ClearArea.parse({
      name: 'Band',
      outline: [
        [100, 0, 0],
        [0, 100, 0],
        [-100, 0, 0],
        [0, -100, 0],
      ].map((atMm) => ({ atMm, normal: atMm.map((v) => v / 100) })),
    });
    expect(Math.abs(wornArea(round, 0, 1).n[2])).toBeCloseTo(1, 9);
  });
});
