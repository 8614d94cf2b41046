// Mirror planes of bodies whose planes are known.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../src/base/random.ts';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { symmetryPlane } from '../../../src/geometry/symmetry-plane.ts';
import { angleDeg, dot, scaled } from '../../../src/geometry/three-by-three.ts';
import { buildBoundingTree } from '../../../src/mesh/bounding-tree.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../src/mesh/mesh.ts';
import { applyTransform, transformMesh, turnVector } from '../../../src/mesh/transform.ts';
import { ball, box } from '../../support/section-shapes.ts';
import { standInHelm } from '../../support/stand-in-helm.ts';
import { randomMotion } from '../../support/turned-models.ts';

const find = (mesh: Mesh, seed = 1) => symmetryPlane(mesh, buildBoundingTree(mesh), { ...QUIET_WORK, seed });

/** Angle between two planes, degrees, whichever way their normals point. */
function planesApart(a: Vec3, b: Vec3): number {
  const angle = angleDeg(a, b);
  return Math.min(angle, 180 - angle);
}

describe('symmetryPlane', () => {
  it('finds the three planes of a box of 1 x 2 x 3', () => {
    const { planes, ambiguous } = find(box([0, 0, 0], [10, 20, 30]));
    expect(ambiguous).toBe(false);
    expect(planes).toHaveLength(3);
    const middles: Vec3 = [5, 10, 15];
    for (const [axis, offset] of middles.entries()) {
      const normal = [0, 1, 2].map((c) => (c === axis ? 1 : 0)) as unknown as Vec3;
      const found = planes.find((each) => planesApart(each.plane.normal, normal) < 0.01);
      expect(found).toBeDefined();
      expect(Math.abs(found!.plane.offsetMm)).toBeCloseTo(offset, 6);
      expect(found!.rmsMm).toBeLessThan(1e-6);
    }
  });

  it('says that a ball has no plane of its own', () => {
    expect(find(ball(50, 64)).ambiguous).toBe(true);
  });

  it('finds nothing in a body without a mirror plane', () => {
    const { planes } = find(crookedBody());
    expect(planes.filter((each) => each.score > 0.9)).toHaveLength(0);
  });

  it('hands back an empty answer for a mesh without area', () => {
    const empty = meshOf(new Float64Array(9), Uint32Array.of(0, 1, 2));
    expect(find(empty).planes).toHaveLength(0);
  });
});

const SEED = 606;
describe(`symmetryPlane of a mirrored shell in any pose, seed ${SEED}`, () => {
  it('is within 0.1 degree and 0.1 mm of the truth, and mostly far nearer', async () => {
    const helm = await standInHelm('pod and vents');
    const mirrored = mirrorJoined(helm);
    const random = randomStream(SEED);
    let worst = 0;
    for (let pose = 0; pose < 8; pose++) {
      const motion = randomMotion(random);
      const { planes } = find(transformMesh(motion, mirrored), pose + 1);
      const normal = turnVector(motion, [1, 0, 0]);
      const best = planes.find((each) => planesApart(each.plane.normal, normal) < 5);
      expect(best).toBeDefined();
      const { plane } = best!;
      worst = Math.max(worst, planesApart(plane.normal, normal));
      expect(planesApart(plane.normal, normal)).toBeLessThan(0.1);
      expect(Math.abs(dot(plane.normal, applyTransform(motion, [0, 0, 0])) - plane.offsetMm)).toBeLessThan(0.1);
      expect(best!.score).toBeGreaterThan(0.99);
    }
    console.info(`mirrored shell: worst angle ${worst.toExponential(1)} deg`);
  });

  it('a pod on one side does not tilt it', async () => {
    const helm = await standInHelm('pod and vents');
    const { planes } = find(helm);
    const best = planes.find((each) => planesApart(each.plane.normal, [1, 0, 0]) < 5)!;
    expect(planesApart(best.plane.normal, [1, 0, 0])).toBeLessThan(0.1);
    expect(Math.abs(best.plane.offsetMm)).toBeLessThan(0.1);
  });
});

/** The surface and its exact mirror image in x = 0, laid over each other: mirrored whatever the surface was. */
function mirrorJoined(mesh: Mesh): Mesh {
  const num = mesh.positions.length;
  const positions = new Float64Array(num * 2);
  positions.set(mesh.positions);
  for (let i = 0; i < num; i += 3) {
    positions[num + i] = -mesh.positions[i]!;
    positions[num + i + 1] = mesh.positions[i + 1]!;
    positions[num + i + 2] = mesh.positions[i + 2]!;
  }
  const triangles = new Uint32Array(mesh.triangles.length * 2);
  triangles.set(mesh.triangles);
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    triangles[mesh.triangles.length + t] = mesh.triangles[t]! + num / 3;
    triangles[mesh.triangles.length + t + 1] = mesh.triangles[t + 2]! + num / 3;
    triangles[mesh.triangles.length + t + 2] = mesh.triangles[t + 1]! + num / 3;
  }
  return meshOf(positions, triangles);
}

/** A tetrahedron with six different sides. */
function crookedBody(): Mesh {
  const corners: readonly Vec3[] = [
    [0, 0, 0],
    [100, 5, 0],
    [20, 60, 10],
    [45, 15, 80],
  ];
  return meshOf(
    Float64Array.from(corners.flatMap((c) => [...scaled(c, 1)])),
    Uint32Array.of(0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3),
  );
}
