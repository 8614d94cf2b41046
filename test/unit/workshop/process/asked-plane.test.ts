import { describe, expect, it } from 'vitest';
import { angleDeg } from '../../../../src/geometry/three-by-three.ts';
import type { Vec3 } from '../../../../src/mesh/mesh.ts';
import { wornPlaneOf } from '../../../../src/workshop/process/asked-plane.ts';
import { AskedSeam } from '../../../../src/workshop/process/asked-seams.ts';

function seam(points: readonly (readonly [Vec3, Vec3])[], normal: Vec3 | null = null): AskedSeam {
  return AskedSeam.parse({ name: 'A seam', points: points.map(([atMm, n]) => ({ atMm, normal: n })), normal });
}

const UP: Vec3 = [0, 0, 1];

describe('the plane of an asked seam', () => {
  it('goes through the first point, square to a given normal, at the worn size', () => {
    const plane = wornPlaneOf(seam([[[10, 20, 30], UP]], [0, 3, 4]), 1.5);
    if (plane === null) throw new Error('a plane was expected');
    expect(plane.normal).toEqual([0, 0.6, 0.8]);
    expect(plane.offsetMm).toBeCloseTo(1.5 * (20 * 0.6 + 30 * 0.8), 12);
  });

  it('holds the line of two points and stands square to the surface', () => {
    // both on top of a ball, beside each other in x: the plane is upright and holds x
    const plane = wornPlaneOf(
      seam([
        [[-10, 5, 100], UP],
        [[10, 5, 100], UP],
      ]),
      1,
    );
    if (plane === null) throw new Error('a plane was expected');
    expect(angleDeg(plane.normal, [0, 1, 0]) % 180).toBeCloseTo(0, 9);
    expect(Math.abs(plane.offsetMm)).toBeCloseTo(5, 9);
  });

  it('is the plane nearest to points round a section, whatever way their normals face', () => {
    const tilt = Math.PI / 9;
    const points = Array.from({ length: 12 }, (_, i): [Vec3, Vec3] => {
      const [x, y] = [80 * Math.cos(i / 2), 80 * Math.sin(i / 2)];
      return [
        [x, y * Math.cos(tilt), 50 + y * Math.sin(tilt)],
        [Math.cos(i / 2), Math.sin(i / 2), 0],
      ];
    });
    const plane = wornPlaneOf(seam(points), 1);
    if (plane === null) throw new Error('a plane was expected');
    const off = Math.min(
      angleDeg(plane.normal, [0, -Math.sin(tilt), Math.cos(tilt)]),
      angleDeg(plane.normal, [0, Math.sin(tilt), -Math.cos(tilt)]),
    );
    expect(off).toBeLessThan(1e-6);
  });

  it('is none for one point without a normal, for points in one place, and for a normal of no length', () => {
    expect(wornPlaneOf(seam([[[1, 2, 3], UP]]), 1)).toBeNull();
    expect(
      wornPlaneOf(
        seam([
          [[1, 2, 3], UP],
          [[1, 2, 3], UP],
        ]),
        1,
      ),
    ).toBeNull();
    expect(wornPlaneOf(seam([[[1, 2, 3], UP]], [0, 0, 0]), 1)).toBeNull();
  });
});
