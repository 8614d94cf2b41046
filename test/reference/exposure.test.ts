// Exposure where its value is known in closed form.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { type ExposedPoints, exposure, freeExposure } from '../../src/geometry/exposure.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { box, icoSphere, together, turned } from '../../src/mesh/builders.ts';
import { areaNormals } from '../../src/mesh/measure.ts';
import { type Mesh, numTris, type Vec3 } from '../../src/mesh/mesh.ts';

const { source, value, tolerance } = JSON.parse(readFileSync('test/reference/exposure.json', 'utf8')) as {
  readonly source: string;
  readonly value: {
    readonly convex: number;
    readonly hole: readonly { readonly radiusMm: number; readonly depthMm: number; readonly open: number }[];
    readonly besideWall: number;
    readonly heightWeighted: number;
  };
  readonly tolerance: { readonly standardErrors: number; readonly heightWeighted: number };
};

const NUM_RAYS = 64;
const NUM_POINTS = 256;

describe(`exposure (${source})`, () => {
  test('a convex body is wholly open everywhere', () => {
    const ball = icoSphere(50, 3);
    const { open } = exposure(buildBoundingTree(ball), middlesOf(ball), QUIET_WORK, {
      numRays: NUM_RAYS,
      liftMm: 1e-6,
      weights: [],
    });
    expect(open.every((share) => share === value.convex)).toBe(true);
  });

  test.each(value.hole)('the bottom of a hole of radius $radiusMm and depth $depthMm: $open', (hole) => {
    const [rim, top, bottom] = [hole.radiusMm, 100, 100 - hole.depthMm];
    const block = turned([0, 0, 60, 0, 60, top, rim, top, rim, bottom, 0, bottom], { around: 720 });
    expectOpen(openAt(block, [0, 0, bottom]), hole.open);
  });

  test('a floor beside a high wall', () => {
    const floor = box([-1000, -9000, -10], [9000, 9000, 0]);
    const wall = box([-1000, -9000, 0], [0, 9000, 9000]);
    expectOpen(openAt(together([floor, wall]), [0.5, 0, 0]), value.besideWall);
  });

  test('a free face weighted by the height of the direction', () => {
    const off = freeExposure([0, 0, 1], (_x, _y, z) => z) - value.heightWeighted;
    expect(Math.abs(off)).toBeLessThan(tolerance.heightWeighted);
  });
});

/** Mean over many points in one place: each has rays of its own. */
function openAt(mesh: Mesh, [x, y, z]: Vec3): number {
  const points = Float64Array.from({ length: NUM_POINTS * 3 }, (_, i) => [x, y, z][i % 3]!);
  const normals = Float64Array.from({ length: NUM_POINTS * 3 }, (_, i) => [0, 0, 1][i % 3]!);
  const { open } = exposure(buildBoundingTree(mesh), { points, normals }, QUIET_WORK, {
    numRays: NUM_RAYS,
    liftMm: 1e-6,
    weights: [],
  });
  return open.reduce((sum, share) => sum + share, 0) / NUM_POINTS;
}

function expectOpen(open: number, known: number): void {
  const error = Math.sqrt((known * (1 - known)) / (NUM_POINTS * NUM_RAYS));
  expect(Math.abs(open - known)).toBeLessThan(tolerance.standardErrors * error);
}

function middlesOf(mesh: Mesh): ExposedPoints {
  const points = new Float64Array(numTris(mesh) * 3);
  const normals = areaNormals(mesh);
  for (let tri = 0; tri < numTris(mesh); tri++) {
    const length = Math.hypot(normals[tri * 3]!, normals[tri * 3 + 1]!, normals[tri * 3 + 2]!);
    for (let c = 0; c < 3; c++) {
      normals[tri * 3 + c] = normals[tri * 3 + c]! / length;
      for (let corner = 0; corner < 3; corner++) {
        const at = mesh.triangles[tri * 3 + corner]! * 3 + c;
        points[tri * 3 + c] = points[tri * 3 + c]! + mesh.positions[at]! / 3;
      }
    }
  }
  return { points, normals };
}
