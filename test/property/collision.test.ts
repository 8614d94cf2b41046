// The collision test that replays of assembling rely on: depths known by hand, in any pose.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { box, cylinder, icoSphere, tube } from '../../src/mesh/builders.ts';
import type { Mesh, Vec3 } from '../../src/mesh/mesh.ts';
import { IDENTITY, type Transform, transformMesh } from '../../src/mesh/transform.ts';
import { collisionBody } from '../support/collision/collision-body.ts';
import { deepest } from '../support/collision/deepest.ts';

const moved = (x: number, y: number, z: number): Transform => [1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, z];
const CUBE = box([0, 0, 0], [10, 10, 10]);

/** Both ways round. */
function depth(a: Mesh, b: Mesh, pose: Transform = IDENTITY): number {
  const [one, other] = [collisionBody(a), collisionBody(b)];
  const there = deepest(one, IDENTITY, other, pose);
  expect(deepest(other, pose, one, IDENTITY).mm).toBeCloseTo(there.mm, 3);
  expect(there.atMm === null).toBe(there.mm === 0);
  return there.mm;
}

describe('two bodies', () => {
  it('apart, or touching with a face, an edge or a corner, do not stand in each other', () => {
    const apart: readonly Vec3[] = [
      [10.01, 0, 0],
      [10, 0, 0],
      [10, 3, 3],
      [10, 10, 0],
      [-10, 10, 10],
      [0, 0, 200],
    ];
    for (const [x, y, z] of apart) expect(depth(CUBE, CUBE, moved(x, y, z))).toBe(0);
  });

  it('a corner sunk into a face is as deep as it has gone', () => {
    expect(depth(CUBE, box([3, 3, 9.7], [6, 6, 14]))).toBeCloseTo(0.3, 3);
  });

  it('faces in one plane do not hide what is pushed along them', () => {
    expect(depth(CUBE, CUBE, moved(9.5, 0, 0))).toBeCloseTo(0.5, 3);
  });

  it('no corner need be inside: two bars that cross', () => {
    expect(depth(box([-20, 0, 0], [20, 2, 2]), box([0, -20, 1.6], [2, 20, 5]))).toBeCloseTo(0.4, 3);
  });

  it('a pin through a plate is in it by half the plate, and off the hole by what it is off', () => {
    const plate = box([-20, -20, 0], [20, 20, 3]);
    expect(depth(plate, cylinder(2, 20, 48), moved(0, 0, -10))).toBeGreaterThan(1.3);
    const hole = tube({ outerMm: 6, wallMm: 3.8, heightMm: 8 }, 64);
    expect(depth(hole, cylinder(2, 20, 64), moved(0, 0, -5))).toBe(0);
    expect(depth(hole, cylinder(2, 20, 64), moved(0.5, 0, -5))).toBeCloseTo(0.3, 2);
  });

  it('one wholly inside the other is found without any contact', () => {
    expect(depth(icoSphere(50, 4), box([-1, -1, -1], [1, 1, 1]))).toBeGreaterThan(48);
  });

  it('in the hollow of a ball one is not inside it', () => {
    const shell = tube({ outerMm: 30, wallMm: 2, heightMm: 40 }, 48);
    expect(depth(shell, box([-5, -5, 10], [5, 5, 20]))).toBe(0);
  });
});

const SEED = 90125;
it(`balls sunk into each other by a little are so deep, wherever they stand, seed ${SEED}`, () => {
  const ball = icoSphere(20, 4);
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(number(0, 6.28), number(-1.5, 1.5), number(-0.5, 1.5), (turn, lift, sunk) => {
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      const far = 40 - sunk;
      const pose: Transform = [
        c,
        s,
        0,
        -s,
        c,
        0,
        0,
        0,
        1,
        ...[c * Math.cos(lift), s * Math.cos(lift), Math.sin(lift)].map((x) => x * far),
      ];
      const placed: Transform = [0, 1, 0, 0, 0, 1, 1, 0, 0, 7, -30, 11];
      const [one, other] = [collisionBody(ball), collisionBody(transformMesh(pose, ball))];
      const got = deepest(one, placed, other, placed).mm;
      // Facets of the ball lie within 0.06 mm of it.
      expect(got).toBeGreaterThan(sunk - 0.15);
      expect(got).toBeLessThan(Math.max(0, sunk) + 0.001);
    }),
    { seed: SEED, numRuns: 30 },
  );
});
