// The demonstration models: closed, of the size and count asked for, symmetric, with the handles one can count.
import { describe, expect, test } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { areaPercentiles, wallThickness } from '../../../../src/geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../../../../src/mesh/bounding-tree.ts';
import { closestPoints } from '../../../../src/mesh/closest-point.ts';
import { bounds, sizeOf, volume } from '../../../../src/mesh/measure.ts';
import { type Mesh, numTris } from '../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../src/mesh/topology.ts';
import { DEMO_SHAPES, demoModel, demoTitle } from '../../../../src/workshop/demo/demo.ts';
import { halfMask } from '../../../../src/workshop/demo/half-mask.ts';
import { keepersHelm } from '../../../../src/workshop/demo/keepers-helm.ts';

const helm = demoModel('keepers-helm', { triangles: 200_000 });

describe("the Keeper's helm", () => {
  test('is one closed shell whose handles are the eye opening and twelve holes', () => {
    expect(surfaceCheck(helm)).toMatchObject({ manifold: true, shells: 1, genus: 13 });
    expect(volume(helm)).toBeGreaterThan(0);
  });

  test('has the number of triangles asked for and the size it is described with', () => {
    expect(numTris(helm)).toBe(200_000);
    const [x, y, z] = sizeOf(bounds(helm));
    expect(x).toBeCloseTo(250, -0.7);
    expect(y).toBeCloseTo(300, -0.7);
    expect(z).toBeCloseTo(310, -0.7);
  });

  test('mirrors itself at x = 0', () => {
    const points = mirrored(helm, 4001);
    const distanceMm = nearest(helm, points);
    const sorted = Float64Array.from(distanceMm).sort();
    expect(sorted[Math.floor(sorted.length * 0.95)]).toBeLessThan(0.1);
  });

  test('has a wall of 3 mm, and no wall thinner than 1.5', () => {
    const wall = wallThickness(helm, buildBoundingTree(helm), QUIET_WORK);
    const [low, middle] = areaPercentiles(wall, [0.02, 0.5]);
    expect(middle).toBeCloseTo(3, 0);
    expect(low).toBeGreaterThan(1.5);
  });

  test('lets a head of 580 mm in: 216 x 171 mm at the brow', () => {
    // The wearer's brow lies under the rope; along both axes the hollow reaches at least so far.
    expect(keepersHelm(171 / 2, 0, 150)).toBeGreaterThan(0);
    expect(keepersHelm(0, 216 / 2, 150) > 0 && keepersHelm(0, -216 / 2, 150) > 0).toBe(true);
  });

  test('holds at 20,000 triangles', () => {
    const coarse = demoModel('keepers-helm', { triangles: 20_000 });
    expect(Math.abs(numTris(coarse) / 20_000 - 1)).toBeLessThan(0.1);
    expect(surfaceCheck(coarse)).toMatchObject({ manifold: true, shells: 1, genus: 13 });
  });
});

describe('fields', () => {
  test.each([
    ["the Keeper's helm", keepersHelm],
    ['the half mask', halfMask],
  ])('%s is exactly the same on both sides', (_, field) => {
    for (let i = 0; i < 3000; i++) {
      const [x, y, z] = [(i * 7.13) % 130, ((i * 3.77) % 300) - 160, (i * 5.31) % 310];
      expect(field(-x, y, z)).toBe(field(x, y, z));
    }
  });
});

describe('the smaller pieces', () => {
  test.each([
    { shape: 'half-mask', genus: 4 },
    { shape: 'shoulder-guard', genus: 0 },
  ] as const)('$shape is one closed shell with $genus handles', ({ shape, genus }) => {
    const mesh = demoModel(shape, { triangles: 40_000 });
    expect(surfaceCheck(mesh)).toMatchObject({ manifold: true, shells: 1, genus });
    expect(numTris(mesh)).toBe(40_000);
  });

  test('each has a title', () => {
    expect(DEMO_SHAPES.map(demoTitle)).toEqual(['Keeper’s helm', 'Tern mask', 'Shoulder guard']);
  });
});

function mirrored(mesh: Mesh, num: number): Float64Array {
  const stride = Math.floor(mesh.positions.length / 3 / num);
  const out = new Float64Array(num * 3);
  for (let i = 0; i < num; i++) {
    out[i * 3] = -mesh.positions[i * stride * 3]!;
    out[i * 3 + 1] = mesh.positions[i * stride * 3 + 1]!;
    out[i * 3 + 2] = mesh.positions[i * stride * 3 + 2]!;
  }
  return out;
}

function nearest(mesh: Mesh, points: Float64Array): Float64Array {
  const out = { tri: new Int32Array(points.length / 3), distanceMm: new Float64Array(points.length / 3) };
  closestPoints(buildBoundingTree(mesh), points, out);
  return out.distanceMm;
}
