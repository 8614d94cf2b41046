import { describe, expect, it } from 'vitest';
import { areaPercentiles } from '../../../../src/geometry/wall/area-percentiles.ts';
import { normalRayThickness } from '../../../../src/geometry/wall/normal-ray-thickness.ts';
import { buildBoundingTree } from '../../../../src/mesh/bounding-tree.ts';
import { box, hollowBall, together, tube } from '../../../../src/mesh/builders.ts';
import { type Mesh, meshOf } from '../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import { randomTransform } from '../../../support/random-mesh.ts';

const measured = (mesh: Mesh) => normalRayThickness(mesh, buildBoundingTree(mesh));

describe('normalRayThickness', () => {
  it('of a slab is its three sizes, share by share of the area', () => {
    const wall = measured(box([0, 0, 0], [100, 80, 3]));
    expect(new Set(wall.perTriMm)).toEqual(new Set([3, 80, 100]));
    // 16000 of 17080 mm2 face the thickness, 600 the length of 80, 480 the length of 100
    expect(areaPercentiles(wall, [0.01, 0.5, 0.93, 0.95, 0.99])).toEqual([3, 3, 3, 80, 100]);
  });

  it('between two balls comes to R - r as their facets grow small', () => {
    const off = (levels: number): number => {
      const wall = measured(hollowBall({ outerMm: 50, wallMm: 4 }, levels));
      return Math.max(...wall.perTriMm.slice(0, wall.perTriMm.length / 2).map((t) => Math.abs(t - 4)));
    };
    expect(off(4)).toBeLessThan(0.1);
    expect(off(4) / off(5)).toBeGreaterThan(3.5);
  });

  it('of a tube with flat facets is the distance of their planes', () => {
    const around = 24;
    const wall = measured(tube({ outerMm: 20, wallMm: 2, heightMm: 30 }, around, 4));
    const [p50] = areaPercentiles(wall, [0.5]);
    expect(Math.abs(p50! - 2 * Math.cos(Math.PI / around))).toBeLessThan(1e-6);
  });

  it('scales with the mesh and does not change when it is turned', () => {
    const mesh = hollowBall({ outerMm: 5, wallMm: 1 }, 2);
    const plain = measured(mesh).perTriMm;
    for (const scale of [0.001, 1, 1000]) {
      measured(transformMesh(randomTransform(7, scale), mesh)).perTriMm.forEach((t, tri) => {
        expect(Math.abs(t / scale / plain[tri]! - 1)).toBeLessThan(1e-6);
      });
    }
  });

  it('does not take a triangle lying on top of another for the far side', () => {
    const slab = box([0, 0, 0], [10, 10, 3]);
    expect(measured(together([slab, slab])).perTriMm).toContain(3);
    expect(Math.min(...measured(together([slab, slab])).perTriMm)).toBe(3);
  });

  it('is infinite where the ray leaves and where a triangle has no area; percentiles leave those out', () => {
    const open = meshOf(Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0]), Uint32Array.from([0, 1, 2, 0, 1, 1]));
    const wall = measured(open);
    expect(Array.from(wall.perTriMm)).toEqual([Infinity, Infinity]);
    expect(Array.from(wall.areaMm2)).toEqual([0.5, 0]);
    expect(areaPercentiles(wall, [0.5])[0]).toBeNaN();
  });
});
