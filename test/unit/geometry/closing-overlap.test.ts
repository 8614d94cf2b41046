// Ways whose free room or overlap can be reckoned by hand, and random solids against a kernel that intersects them step by step.
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { closingMeetings } from '../../../src/geometry/closing-overlap.ts';
import { box, cylinder, icoSphere, together, tube } from '../../../src/mesh/builders.ts';
import { volume } from '../../../src/mesh/measure.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../src/mesh/mesh.ts';
import { type Transform, transformMesh, turnVector } from '../../../src/mesh/transform.ts';
import { testKernel } from '../../support/kernel.ts';

const UP: Vec3 = [0, 0, 1];
const moved = (mesh: Mesh, by: Vec3): Mesh => transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, ...by], mesh);

/** A wall below z = 0 with a tab that reaches `reach` over it, at x from -8 to 8, behind the wall. */
const wall = box([-50, 0, -30], [50, 3, 0]);
const withTab = (shift = 0): Mesh => together([wall, box([shift - 8, 3, -10], [shift + 8, 5.4, 8])]);
const upper = (gap: number): Mesh =>
  together([box([-50, 0, 0], [50, 3, 30]), box([-12, 3, 0.5], [-8 - gap, 6, 12]), box([8 + gap, 3, 0.5], [12, 6, 12])]);

describe('a tab between two stops', () => {
  it('comes in freely with a clearance, and when it only touches', () => {
    expect(closingMeetings([withTab()], [upper(0.2)], UP)).toEqual([]);
    expect(closingMeetings([withTab()], [upper(0)], UP)).toEqual([]);
  });

  it('may press by 0.02 mm and not by 0.03', () => {
    expect(closingMeetings([withTab()], [upper(-0.015)], UP)).toEqual([]);
    const [meets] = closingMeetings([withTab()], [upper(-0.03)], UP);
    expect(meets!.depthMm).toBeGreaterThan(0.024);
    expect(meets!.depthMm).toBeLessThan(0.036);
  });

  it('misplaced by a millimetre meets the one stop as deep as it is off, 7.5 mm before it is home', () => {
    const meets = closingMeetings([withTab(1)], [upper(0.2)], UP);
    expect(meets).toHaveLength(1);
    expect(meets[0]!.depthMm).toBeGreaterThan(0.72);
    expect(meets[0]!.depthMm).toBeLessThan(0.88);
    expect(meets[0]!.beforeMm).toBeCloseTo(7.5, 9);
    expect(meets[0]!.atMm[0]).toBeGreaterThan(8.2);
    expect(meets[0]!.atMm[0]).toBeLessThan(9);
    expect(meets[0]!.atMm[2]).toBeCloseTo(0.5, 9);
  });

  it('names the two pieces among several', () => {
    const meets = closingMeetings(
      [box([0, 0, -5], [9, 9, -4]), withTab(1)],
      [box([90, 0, 0], [99, 9, 9]), upper(0.2)],
      UP,
    );
    expect(meets.map(({ moving, fixed }) => [moving, fixed])).toEqual([[1, 1]]);
  });

  it('does not come out through a roof: the way is tried from far away', () => {
    const roof = box([-12, 3, 10], [12, 6, 12]);
    const below = together([withTab(), box([-8, 3, 14], [8, 5, 20])]);
    const [meets] = closingMeetings([below], [together([upper(0.2), roof])], UP);
    expect(meets!.depthMm).toBeCloseTo(2, 0);
    expect(meets!.beforeMm).toBeCloseTo(10, 9);
  });
});

describe('a pin and its socket', () => {
  const socket = (radius: number): Mesh =>
    moved(tube({ outerMm: 20, wallMm: 20 - radius, heightMm: 10 }, 256), [0, 0, 0]);
  const pin = (offset: number): Mesh => moved(cylinder(2, 8, 256), [offset, 0, 0]);

  it('fits with 0.1 mm all round, and not when it stands 0.3 mm off', () => {
    expect(closingMeetings([pin(0)], [socket(2.1)], UP)).toEqual([]);
    const [meets] = closingMeetings([pin(0.3)], [socket(2.1)], UP);
    // a sickle 0.2 mm wide
    expect(meets!.depthMm).toBeGreaterThan(0.17);
    expect(meets!.depthMm).toBeLessThan(0.22);
  });
});

const direction = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 6.28, noNaN: true }));

/** A turn whose third row is any direction. */
function turnOf([rise, around]: [number, number]): Transform {
  const z = 2 * rise - 1;
  const [c, s, r] = [Math.cos(around), Math.sin(around), Math.sqrt(1 - z * z)];
  return [-s, c, 0, -z * c, -z * s, r, r * c, r * s, z, 3, -7, 11];
}

// whole micrometres: random doubles crowd round zero
const size = fc.integer({ min: 500, max: 9000 }).map((k) => k / 1000);
const place = fc.integer({ min: -9000, max: 9000 }).map((k) => k / 1000);

it('of two blocks, turned any way, the depth is the least side of what they share, or of the way past it', () => {
  fc.assert(
    fc.property(
      direction,
      fc.tuple(size, size, size),
      fc.tuple(size, size, size),
      fc.tuple(place, place, place),
      (turn, a, b, at) => {
        const t = turnOf(turn);
        const low = box([0, 0, 0], a);
        const high = box(at, [at[0] + b[0], at[1] + b[1], at[2] + b[2]]);
        const share = (c: 0 | 1): number => Math.min(a[c], at[c] + b[c]) - Math.max(0, at[c]);
        const depth = Math.min(share(0), share(1), a[2] - at[2]);
        fc.pre(Math.abs(depth - 0.02) > 0.008);
        const meets = closingMeetings([transformMesh(t, low)], [transformMesh(t, high)], turnVector(t, UP));
        expect(meets).toHaveLength(depth > 0.02 ? 1 : 0);
        if (depth > 0.02) expect(Math.abs(meets[0]!.depthMm / depth - 1)).toBeLessThan(depth < 0.1 ? 0.25 : 0.13);
      },
    ),
    { seed: 11, numRuns: 150 },
  );
});

it('of random solids, the way is free just when a kernel finds no common volume at any step of it', async () => {
  const kernel = await testKernel();
  const hull = (points: readonly (readonly number[])[]): Mesh => {
    const mesh = kernel.hull(Float64Array.from(points.flat()));
    return meshOf(mesh.positions, mesh.triangles);
  };
  const cloud = fc.array(fc.tuple(place, place, place), { minLength: 6, maxLength: 9 });
  let free = 0;
  fc.assert(
    fc.property(
      cloud,
      cloud,
      place.map((k) => k * 1.6),
      (one, other, rise) => {
        const low = hull(one);
        const high = moved(hull(other.map(([x, y, z]) => [x! / 2 + 5, y! / 2, z! / 2])), [0, 0, rise]);
        let common = 0;
        for (let s = 0; s < 40; s += 0.5) {
          const here = moved(low, [0, 0, -s]);
          const rest = kernel.combine(here, [], [high]).mesh;
          common = Math.max(common, volume(here) - volume(rest));
        }
        fc.pre(common < 1e-9 || common > 1e-3);
        const meets = closingMeetings([low], [high], UP);
        if (meets.length === 0) free++;
        expect(meets.length > 0).toBe(common > 1e-3);
      },
    ),
    { seed: 3, numRuns: 25 },
  );
  expect(free).toBeGreaterThan(3);
  expect(free).toBeLessThan(22);
});

it('a ball in a shell of its own size touches and is let through', () => {
  const ball = icoSphere(10, 4);
  const under = meshOf(ball.positions, ball.triangles);
  expect(closingMeetings([under], [moved(ball, [0, 0, 20])], UP)).toEqual([]);
  expect(closingMeetings([under], [moved(ball, [0, 0, 19.9])], UP)).toHaveLength(1);
});
