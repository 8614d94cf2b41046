// Self-crossings against looking at every pair, and unchanged under the order of triangles, turning and scale.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { selfCrossings } from '../../src/geometry/crossings/self-crossings.ts';
import { CROSS_NOT, hasArea, triangleCrossing } from '../../src/geometry/crossings/triangle-crossing.ts';
import { type Mesh, meshOf, numTris } from '../../src/mesh/mesh.ts';
import { weldMesh } from '../../src/mesh/weld.ts';
import { bumpyBall, randomSoup, shuffled } from '../support/random-mesh.ts';

const SEED = 7411;
const seeds = fc.integer({ min: 1, max: 2 ** 30 });
const check = (runs: number, law: (mesh: Mesh, seed: number) => void): void => {
  fc.assert(
    fc.property(seeds, (seed) => law(someMesh(seed), seed)),
    { seed: SEED, numRuns: runs },
  );
};

/** A soup; a soup on a coarse lattice, full of triangles in one plane, on one line and with common corners; a crumpled ball. */
function someMesh(seed: number): Mesh {
  if (seed % 3 === 0) return weldMesh(randomSoup(seed, 5 + (seed % 60))).mesh;
  const random = randomStream(seed);
  if (seed % 3 === 1) {
    const wide = 2 + (seed % 4);
    const positions = Float64Array.from({ length: 9 * (5 + (seed % 50)) }, () => Math.floor(random() * wide));
    return weldMesh(
      meshOf(
        positions,
        Uint32Array.from({ length: positions.length / 3 }, (_, i) => i),
      ),
    ).mesh;
  }
  const ball = bumpyBall(seed, 2);
  const crumpled = ball.positions.map((x) => x + 0.6 * (random() - 0.5));
  return meshOf(crumpled, ball.triangles);
}

function bruteCrossings(mesh: Mesh): { readonly pairs: number; readonly triangles: number } {
  const crossed = new Set<number>();
  let pairs = 0;
  for (let i = 0; i < numTris(mesh); i++)
    for (let j = i + 1; j < numTris(mesh); j++) {
      if (!hasArea(mesh, i) || !hasArea(mesh, j) || triangleCrossing(mesh, i, j) === CROSS_NOT) continue;
      pairs++;
      crossed.add(i).add(j);
    }
  return { pairs, triangles: crossed.size };
}

describe(`self-crossings, seed ${SEED}`, () => {
  it('the tree finds every pair that looking at all of them finds', () => {
    check(150, (mesh) => {
      const { pairs, triangles } = selfCrossings(mesh);
      expect({ pairs, triangles }).toEqual(bruteCrossings(mesh));
    });
  });

  it('a pair crosses whichever is named first and wherever its corners are counted from', () => {
    check(20, (mesh) => {
      const turned = meshOf(
        mesh.positions,
        mesh.triangles.map((_, h) => mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]!),
      );
      const flipped = meshOf(
        mesh.positions,
        mesh.triangles.map((v, h) => (h % 3 === 0 ? v : mesh.triangles[h % 3 === 1 ? h + 1 : h - 1]!)),
      );
      for (let i = 0; i < numTris(mesh); i++)
        for (let j = 0; j < i; j++) {
          if (!hasArea(mesh, i) || !hasArea(mesh, j)) continue;
          const kind = triangleCrossing(mesh, i, j);
          const again = [mesh, turned, flipped].map((other) => triangleCrossing(other, j, i));
          if (again.some((found) => found !== kind)) throw new Error(`triangles ${i} and ${j}: ${kind} or ${again}`);
        }
    });
  });

  it('counts do not change with the order of triangles, nor under scaling by 2 and quarter turns', () => {
    check(60, (mesh, seed) => {
      const { pairs, triangles, kinds } = selfCrossings(mesh);
      const mixed = selfCrossings(shuffled(mesh, seed));
      expect(mixed).toMatchObject({ pairs, triangles, kinds });
      const turned = new Float64Array(mesh.positions.length);
      for (let v = 0; v < turned.length; v += 3) {
        turned[v] = -8 * mesh.positions[v + 2]!;
        turned[v + 1] = 8 * mesh.positions[v]!;
        turned[v + 2] = -8 * mesh.positions[v + 1]!;
      }
      expect(selfCrossings(meshOf(turned, mesh.triangles))).toMatchObject({ pairs, triangles, kinds });
    });
  });

  it('far from the origin nothing is missed', () => {
    check(40, (mesh) => {
      const away = weldMesh(
        meshOf(
          mesh.positions.map((x) => x + 1e9),
          mesh.triangles,
        ),
      ).mesh;
      const { pairs, triangles } = selfCrossings(away);
      expect({ pairs, triangles }).toEqual(bruteCrossings(away));
    });
  });
});
