// Planes along folds: a sphere on which folds are painted where we say is given back the planes they were painted by.
import { describe, expect, it } from 'vitest';
import type { Plane } from '../../../../../src/geometry/plane.ts';
import { type Mesh, numTris, type Vec3 } from '../../../../../src/mesh/mesh.ts';
import { noPrice, type SeamPrice } from '../../../../../src/workshop/pieces/price/seam-price.ts';
import { foldPlanes } from '../../../../../src/workshop/pieces/search/fold-planes.ts';
import { sphereMesh } from '../../../../support/pieces/round-shapes.ts';

const sphere = sphereMesh(100, 6);
const TILTED: Plane = { normal: [0, 0.6, 0.8], offsetMm: 30 };
const LEVEL: Plane = { normal: [0, 0, 1], offsetMm: -50 };
const SKEW: Plane = { normal: [0.48, 0.6, 0.64], offsetMm: 40 };

describe('planes along folds', () => {
  it('are the planes in which the folds lie, the one that saves most first', () => {
    const [first, second, ...others] = foldPlanes({ mesh: sphere }, painted(sphere, [TILTED, LEVEL]), 0);
    expect(away(first!, TILTED)).toBeLessThan(0.7);
    expect(away(second!, LEVEL)).toBeLessThan(0.7);
    expect(others).toEqual([]);
    // square to the plane of symmetry, exactly
    expect([first!.normal[0], second!.normal[0]]).toEqual([0, 0]);
  });

  it('come in pairs on a mirrored shell, and alone on another', () => {
    const folded = painted(sphere, [SKEW]);
    const alone = foldPlanes({ mesh: sphere }, folded, null);
    expect(alone.length).toBe(1);
    expect(away(alone[0]!, SKEW)).toBeLessThan(0.7);
    const [one, image] = foldPlanes({ mesh: sphere }, folded, 0);
    expect(away(one!, SKEW)).toBeLessThan(0.7);
    expect(image).toEqual({ normal: [-one!.normal[0], one!.normal[1], one!.normal[2]], offsetMm: one!.offsetMm });
  });

  it('are none where nothing folds, where the folds are short, or where nobody sees them', () => {
    expect(foldPlanes({ mesh: sphere }, painted(sphere, []), 0)).toEqual([]);
    const whole = painted(sphere, [LEVEL]);
    // An arc of some 60 mm.
    const short = whole.crease.map((crease, tri) =>
      sphere.positions[sphere.triangles[tri * 3]! * 3]! > 82 ? crease : 0,
    );
    expect(foldPlanes({ mesh: sphere }, { ...whole, crease: short }, 0)).toEqual([]);
    const unseen = painted(sphere, [LEVEL]);
    expect(foldPlanes({ mesh: sphere }, { ...unseen, seen: unseen.seen.map(() => 0) }, 0)).toEqual([]);
  });

  it('are the same for the same shell', () => {
    const folded = painted(sphere, [TILTED, SKEW]);
    expect(foldPlanes({ mesh: sphere }, folded, 0)).toEqual(foldPlanes({ mesh: sphere }, folded, 0));
  });
});

/** All outside, all in full view, folded within 2 mm of the planes. */
function painted(mesh: Mesh, planes: readonly Plane[]): SeamPrice {
  const crease = Float32Array.from({ length: numTris(mesh) }, (_, tri) => {
    const middle = [0, 1, 2].map((c) => {
      const at = (corner: number): number => mesh.positions[mesh.triangles[tri * 3 + corner]! * 3 + c]!;
      return (at(0) + at(1) + at(2)) / 3;
    }) as unknown as Vec3;
    return planes.some((plane) => Math.abs(heightOver(plane, middle)) < 2) ? 1 : 0;
  });
  const none = noPrice(crease.length);
  return { ...none, isOuter: none.isOuter.fill(1), seen: none.seen.fill(1), crease };
}

function heightOver({ normal: [x, y, z], offsetMm }: Plane, p: Vec3): number {
  return p[0] * x + p[1] * y + p[2] * z - offsetMm;
}

/** How far two planes part at most within the sphere, mm, whichever way round. */
function away(a: Plane, b: Plane): number {
  const cos = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  const sign = Math.sign(cos);
  return 100 * Math.acos(Math.min(1, Math.abs(cos))) + Math.abs(a.offsetMm - sign * b.offsetMm);
}
