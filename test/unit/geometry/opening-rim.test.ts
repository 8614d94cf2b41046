import { describe, expect, it, test } from 'vitest';
import { gapsFrom } from '../../../src/geometry/hollow.ts';
import { openingRim } from '../../../src/geometry/opening-rim.ts';
import { buildBoundingTree } from '../../../src/mesh/bounding-tree.ts';
import { bowl, icoSphere, tube, turned } from '../../../src/mesh/builders.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../src/mesh/mesh.ts';
import { applyTransform, transformMesh } from '../../../src/mesh/transform.ts';
import { randomTransform } from '../../support/random-mesh.ts';

const rims = (mesh: Mesh, from: Vec3) => {
  const tree = buildBoundingTree(mesh);
  return gapsFrom(tree, from).map((gap) => openingRim(tree, from, gap));
};

describe('openingRim', () => {
  test.each([5, 20, 50, 80])('of a round hole of %i mm radius in a ball is 2 pi r within 1 percent', (radius) => {
    const [rim] = rims(pierced(radius), [0, 0, 0]);
    expect(Math.abs(rim!.lengthMm / (2 * Math.PI * radius) - 1)).toBeLessThan(0.01);
    for (let i = 0; i < rim!.line.length; i += 3)
      expect(Math.abs(Math.hypot(rim!.line[i]!, rim!.line[i + 1]!) / radius - 1)).toBeLessThan(0.01);
  });

  it('of both ends of a tube is its inner edge, and of a bowl too', () => {
    const ends = rims(tube({ outerMm: 50, wallMm: 3, heightMm: 120 }, 192, 40), [0, 0, 60]);
    expect(ends).toHaveLength(2);
    for (const end of ends) expect(Math.abs(end.lengthMm / (2 * Math.PI * 47) - 1)).toBeLessThan(0.01);
    const [edge] = rims(bowl({ outerMm: 100, wallMm: 3 }, 60), [0, 0, 30]);
    expect(Math.abs(edge!.lengthMm / (2 * Math.PI * 97) - 1)).toBeLessThan(0.01);
  });

  it('of an ellipse of 50 x 30 mm is its circumference, seen from aside too', () => {
    const mesh = squashed(pierced(50), 0.6);
    // Ramanujan 1914, second formula
    const h = ((50 - 30) / (50 + 30)) ** 2;
    const around = Math.PI * 80 * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));
    for (const from of [
      [0, 0, 0],
      [10, -5, 20],
    ] as const)
      expect(Math.abs(rims(mesh, from)[0]!.lengthMm / around - 1)).toBeLessThan(0.01);
  });

  test.each([1, 2, 3])('scales with the mesh and does not change when it is turned, seed %i', (seed) => {
    const turn = randomTransform(seed, 0.1);
    const mesh = transformMesh(turn, pierced(40));
    const [rim] = rims(mesh, applyTransform(turn, [0, 0, 0]));
    expect(Math.abs(rim!.lengthMm / (8 * Math.PI) - 1)).toBeLessThan(0.01);
  });

  it('of a ball without a hole is none', () => {
    expect(rims(icoSphere(10, 3), [0, 0, 0])).toEqual([]);
  });
});

/** A hollow ball of 100 mm with a wall of 3 mm and a round hole at the top. */
function pierced(holeMm: number): Mesh {
  const steps = 60;
  const profile: number[] = [];
  const arc = (radius: number, from: number, to: number): void => {
    for (let i = 0; i <= steps; i++) {
      const angle = from + ((to - from) * i) / steps;
      profile.push(angle === Math.PI ? 0 : radius * Math.sin(angle), radius * Math.cos(angle));
    }
  };
  arc(100, Math.PI, Math.asin(holeMm / 100));
  arc(97, Math.asin(holeMm / 97), Math.PI);
  return turned(profile, { around: 128 });
}

function squashed(mesh: Mesh, by: number): Mesh {
  return meshOf(
    mesh.positions.map((x, i) => (i % 3 === 1 ? x * by : x)),
    mesh.triangles,
  );
}
