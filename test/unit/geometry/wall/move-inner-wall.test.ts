import { describe, expect, it, test } from 'vitest';
import { INNER_SIDE, innerSide, OUTER_SIDE } from '../../../../src/geometry/wall/inner-side.ts';
import { moveInnerWall } from '../../../../src/geometry/wall/move-inner-wall.ts';
import { areaPercentiles, wallThickness } from '../../../../src/geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../../../../src/mesh/bounding-tree.ts';
import { bowl, box, hollowBall, tube } from '../../../../src/mesh/builders.ts';
import { type Mesh, meshOf, numTris } from '../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import { randomTransform } from '../../../support/random-mesh.ts';

const scaledBy = (mesh: Mesh, k: number): Mesh =>
  meshOf(
    mesh.positions.map((x) => x * k),
    mesh.triangles,
  );

const SHELLS: readonly (readonly [string, () => Mesh])[] = [
  ['ball in a ball', () => hollowBall({ outerMm: 50, wallMm: 3 }, 3)],
  ['bowl', () => bowl({ outerMm: 100, wallMm: 3 }, 16)],
  ['tube', () => tube({ outerMm: 50, wallMm: 3, heightMm: 120 }, 48, 8)],
];

describe('moveInnerWall', () => {
  for (const [name, make] of SHELLS) {
    test.each([0.85, 1.2])(`gives a ${name} scaled by %f its wall again, within 1 percent`, (k) => {
      const mesh = make();
      const scaled = scaledBy(mesh, k);
      const moved = moveInnerWall(scaled, buildBoundingTree(scaled), { kind: 'share', share: 1 / k });
      expect(moved.crossings).toEqual({ before: 0, after: 0, firstAtMm: null });
      for (const off of Object.values(moved.off)) expect(Math.abs(off)).toBeLessThan(0.01);
      const wall = wallThickness(moved.mesh, buildBoundingTree(moved.mesh), undefined, { mostMeasured: 1000 });
      const [p1, p50, p99] = areaPercentiles(wall, [0.01, 0.5, 0.99]) as [number, number, number];
      // facets take up to half a percent off the wall between curved surfaces
      for (const mm of [p1, p50, p99]) expect(Math.abs(mm / 3 - 1)).toBeLessThan(0.02);
      expect(keepsOuter(scaled, moved.mesh, moved.side)).toBe(true);
      expect(moved.mesh.triangles).toEqual(scaled.triangles);
    });
  }

  it('gives a bowl a chosen wall, thicker and thinner', () => {
    const mesh = bowl({ outerMm: 100, wallMm: 3 }, 16);
    for (const wallMm of [2, 4]) {
      const moved = moveInnerWall(mesh, buildBoundingTree(mesh), { kind: 'mm', wallMm });
      expect(Math.abs(moved.off.p5)).toBeLessThan(0.01);
      expect(Math.abs(moved.off.p95)).toBeLessThan(0.01);
      expect(moved.crossings.after).toBe(0);
    }
  });

  it('does the same when the mesh is turned', () => {
    const mesh = bowl({ outerMm: 100, wallMm: 3 }, 12);
    const turned = transformMesh(randomTransform(5, 1), mesh);
    const [a, b] = [mesh, turned].map((m) => moveInnerWall(m, buildBoundingTree(m), { kind: 'share', share: 0.8 }));
    expect(Array.from(b!.side)).toEqual(Array.from(a!.side));
    expect(Math.abs(b!.farthestMm - a!.farthestMm)).toBeLessThan(1e-6);
  });

  it('leaves a solid alone, which has no inner side', () => {
    const mesh = box([0, 0, 0], [10, 10, 10]);
    const moved = moveInnerWall(mesh, buildBoundingTree(mesh), { kind: 'share', share: 0.8 });
    expect(moved.mesh.positions).toEqual(mesh.positions);
    expect(moved.innerMm2).toBe(0);
    expect(moved.off.p50).toBeNaN();
  });
});

describe('innerSide', () => {
  it('of a bowl is the half that faces its middle, up to the rim', () => {
    const mesh = bowl({ outerMm: 100, wallMm: 3 }, 16);
    const tree = buildBoundingTree(mesh);
    const side = innerSide(mesh, tree, wallThickness(mesh, tree).perTriMm);
    let wrong = 0;
    for (let tri = 0; tri < numTris(mesh); tri++) {
      const radii = [0, 1, 2].map((k) => {
        const v = mesh.triangles[tri * 3 + k]! * 3;
        return Math.hypot(mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!);
      });
      if (radii.every((r) => r > 99) && side[tri] !== OUTER_SIDE) wrong++;
      if (radii.every((r) => r < 98) && side[tri] !== INNER_SIDE) wrong++;
    }
    expect(wrong).toBe(0);
  });
});

function keepsOuter(before: Mesh, after: Mesh, side: Uint8Array): boolean {
  for (let h = 0; h < before.triangles.length; h++) {
    if (side[Math.floor(h / 3)] !== OUTER_SIDE) continue;
    const v = before.triangles[h]! * 3;
    for (let c = 0; c < 3; c++) if (!Object.is(before.positions[v + c], after.positions[v + c])) return false;
  }
  return true;
}
