import { describe, expect, it } from 'vitest';
import { thinPlaces } from '../../../../src/geometry/wall/thin-places.ts';
import { wallThickness } from '../../../../src/geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../../../../src/mesh/bounding-tree.ts';
import { box, icoSphere, together, tube } from '../../../../src/mesh/builders.ts';
import { surfaceArea } from '../../../../src/mesh/measure.ts';

describe('thinPlaces', () => {
  const mesh = together([box([0, 0, 0], [10, 10, 0.5]), box([20, 0, 0], [30, 20, 0.7]), box([40, 0, 0], [50, 10, 5])]);
  const wall = wallThickness(mesh, buildBoundingTree(mesh)).perTriMm;

  it('are the connected triangles under the limit, largest first, with their thinnest point', () => {
    const thin = thinPlaces(mesh, wall, 0.8);
    expect(thin.places.map((place) => Math.round(place.areaMm2))).toEqual([442, 220]);
    expect(thin.places.map((place) => place.triangles.length)).toEqual([12, 12]);
    expect(Math.abs(thin.places[1]!.thinnestMm - 0.5)).toBeLessThan(0.005);
    expect(thin.places[0]!.atMm[0]).toBeGreaterThan(20);
    expect(Math.abs(thin.areaMm2 - 662)).toBeLessThan(1e-9);
    expect(thinPlaces(mesh, wall, 0.6).places).toHaveLength(1);
    expect(thinPlaces(mesh, wall, 0.2)).toEqual({ places: [], areaMm2: 0, specksMm2: 0 });
  });

  it('leave specks out and say their area', () => {
    const thin = thinPlaces(mesh, wall, 0.8, { leastAreaMm2: 300 });
    expect(thin.places).toHaveLength(1);
    expect(Math.abs(thin.specksMm2 - 220)).toBeLessThan(1e-9);
  });

  it('add up to the whole when all is thin, and count what cannot be measured as no wall', () => {
    const ring = tube({ outerMm: 20, wallMm: 0.4, heightMm: 10 }, 32, 4);
    const all = thinPlaces(ring, new Float32Array(ring.triangles.length / 3).fill(0.4), 0.8);
    expect(all.places).toHaveLength(1);
    expect(Math.abs(all.areaMm2 / surfaceArea(ring) - 1)).toBeLessThan(1e-12);
    const ball = icoSphere(5, 1);
    expect(thinPlaces(ball, new Float32Array(80).fill(Infinity), 0.8).places).toEqual([]);
  });
});
