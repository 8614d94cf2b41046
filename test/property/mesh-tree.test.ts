// The bounding tree against looking at every triangle.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { closestPoint } from '../../src/mesh/closest-point.ts';
import type { Mesh, Vec3 } from '../../src/mesh/mesh.ts';
import { raycast, rayHitsAny } from '../../src/mesh/ray.ts';
import { applyTransform, transformMesh, turnVector } from '../../src/mesh/transform.ts';
import {
  bruteDistance,
  bruteRay,
  bumpyBall,
  randomDirection,
  randomSoup,
  randomTransform,
} from '../support/random-mesh.ts';

const SEED = 5150;
const seeds = fc.integer({ min: 1, max: 2 ** 30 });
const check = (runs: number, law: (mesh: Mesh, random: () => number, seed: number) => void): void => {
  const meshes = (seed: number): Mesh => (seed % 3 === 0 ? bumpyBall(seed, 2) : randomSoup(seed, 10 + (seed % 300)));
  fc.assert(
    fc.property(seeds, (seed) => law(meshes(seed), randomStream(seed), seed)),
    { seed: SEED, numRuns: runs },
  );
};
const somewhere = (random: () => number): Vec3 => [3 * random() - 1.5, 3 * random() - 1.5, 3 * random() - 1.5];
/** Half of the directions lie along an axis or in a plane of two. */
const someWay = (random: () => number): Vec3 => {
  const d = randomDirection(random);
  const kind = Math.floor(random() * 6);
  if (kind === 0) return [Math.sign(d[0]), 0, 0];
  if (kind === 1) return [0, 0, Math.sign(d[2])];
  return kind === 2 ? [d[0], 0, d[2]] : d;
};

describe(`bounding tree, seed ${SEED}`, () => {
  it('the first hit is the nearest of all triangles', () => {
    check(60, (mesh, random) => {
      const tree = buildBoundingTree(mesh);
      for (let i = 0; i < 12; i++) {
        const [from, d] = [somewhere(random), someWay(random)];
        const [least, most] = [bruteRay(mesh, from, d, 1e-9), bruteRay(mesh, from, d, -1e-9)];
        const t = raycast(tree, from, d)?.t ?? Infinity;
        // the ray grazes an edge when triangles a little larger and a little smaller give other answers
        if (least === most) expect(agree(t, least)).toBe(true);
        else expect(t >= least - 1e-9 && t <= most + 1e-9).toBe(true);
        expect(rayHitsAny(tree, from, d)).toBe(t < Infinity);
        if (t < Infinity) expect(rayHitsAny(tree, from, d, { to: t * (1 - 1e-12) - 1e-15 })).toBe(false);
      }
    });
  });

  it('rays from a point inside a closed surface always meet it, also towards its vertices and edges', () => {
    check(20, (_, random, seed) => {
      const mesh = bumpyBall(seed, 2);
      const tree = buildBoundingTree(mesh);
      const from: Vec3 = [random() * 0.4 - 0.2, random() * 0.4 - 0.2, random() * 0.4 - 0.2];
      for (let h = 0; h < mesh.triangles.length; h++) {
        const a = mesh.triangles[h]! * 3;
        const b = mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]! * 3;
        const share = h % 4 === 0 ? 0 : random();
        const d = [0, 1, 2].map(
          (k) => mesh.positions[a + k]! * (1 - share) + mesh.positions[b + k]! * share - from[k]!,
        );
        if (raycast(tree, from, d as unknown as Vec3) === null) throw new Error(`slipped at half-edge ${h}`);
      }
    });
  });

  it('the closest point is as near as the nearest of all triangles, and lies where it says', () => {
    check(60, (mesh, random) => {
      const tree = buildBoundingTree(mesh);
      for (let i = 0; i < 12; i++) {
        const p = somewhere(random);
        const found = closestPoint(tree, p)!;
        expect(Math.abs(found.distanceMm - bruteDistance(mesh, p))).toBeLessThan(1e-12);
        const [x, y, z] = found.atMm;
        expect(Math.abs(Math.hypot(x - p[0], y - p[1], z - p[2]) - found.distanceMm)).toBeLessThan(1e-12);
        expect(bruteDistance(mesh, found.atMm)).toBeLessThan(1e-12);
      }
    });
  });

  it('answers do not change under turning, scaling and shifting', () => {
    check(30, (mesh, random, seed) => {
      const scale = 10 ** ((seed % 7) - 3);
      const turn = randomTransform(seed, scale);
      const tree = buildBoundingTree(mesh);
      const turned = buildBoundingTree(transformMesh(turn, mesh));
      for (let i = 0; i < 10; i++) {
        const [from, d] = [somewhere(random), randomDirection(random)];
        const t = raycast(tree, from, d)?.t ?? Infinity;
        expect(agree(raycast(turned, applyTransform(turn, from), turnVector(turn, d))?.t ?? Infinity, t)).toBe(true);
        const near = closestPoint(turned, applyTransform(turn, from))!.distanceMm / scale;
        expect(Math.abs(near - closestPoint(tree, from)!.distanceMm)).toBeLessThan(1e-11);
      }
    });
  });
});

function agree(a: number, b: number): boolean {
  return a === b || Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(b));
}
