import { describe, expect, test } from 'vitest';
import { type DiscReach, type DiscTool, discReach } from '../../../src/geometry/disc-reach.ts';
import { buildBoundingTree } from '../../../src/mesh/bounding-tree.ts';
import { box, hollowBall, icoSphere, together } from '../../../src/mesh/builders.ts';
import { areaNormals } from '../../../src/mesh/measure.ts';
import { type Mesh, numTris, type Vec3 } from '../../../src/mesh/mesh.ts';
import { type Transform, transformMesh } from '../../../src/mesh/transform.ts';

const GIVE = 1;
const tool = (radiusMm: number, heightMm = 15): DiscTool => ({ radiusMm, heightMm });

/** Shares of the asked area that no tool, one tool, two tools ... reach. */
function shares(mesh: Mesh, tools: readonly DiscTool[], asked?: Uint8Array): number[] {
  const found = reached(mesh, tools, asked);
  const total = found.areaMm2.reduce((sum, area) => sum + area, 0);
  return [...found.areaMm2].map((area) => area / total);
}

function reached(mesh: Mesh, tools: readonly DiscTool[], asked?: Uint8Array): DiscReach {
  const options = { tools, giveMm: GIVE, mostPlaces: 4000, ...(asked === undefined ? {} : { asked }) };
  return discReach(mesh, buildBoundingTree(mesh), options);
}

/** The first body's triangles that look up. */
function floorOf(mesh: Mesh): Uint8Array {
  const normals = areaNormals(mesh);
  return Uint8Array.from({ length: numTris(mesh) }, (_, t) => (t < 12 && normals[t * 3 + 2]! > 0 ? 1 : 0));
}

/** A floor at height 0 between walls 20 mm high; `closed` adds walls at its ends. */
function groove(width: number, length: number, ends: 'open' | 'closed'): Mesh {
  const [w, l] = [width / 2, length / 2];
  const walls = [
    box([-w - 10, -l - 10, -5], [-w, l + 10, 20]),
    box([w, -l - 10, -5], [w + 10, l + 10, 20]),
    ...(ends === 'closed' ? [box([-w, -l - 10, -5], [w, -l, 20]), box([-w, l, -5], [w, l + 10, 20])] : []),
  ];
  return together([box([-w, -l, -5], [w, l, 0]), ...walls]);
}

describe('the largest disc that touches', () => {
  test('reaches all of the floor of a groove that is wider than it, and nothing of a narrower one', () => {
    const mesh = groove(20, 100, 'open');
    const [none, one, two] = shares(mesh, [tool(9.9), tool(10.2)], floorOf(mesh));
    expect(none).toBe(0);
    expect(one).toBeGreaterThan(0.99);
    // hard by a wall bearings see little of it: a band of a 200th of the radius
    expect(two).toBeLessThan(0.006);
  });

  test('leaves the four corners of a pocket: (4 - pi) r^2 of its floor', () => {
    const mesh = groove(40, 60, 'closed');
    for (const radius of [5, 12, 19]) {
      const [none] = shares(mesh, [tool(radius)], floorOf(mesh));
      expect(Math.abs(none! - ((4 - Math.PI) * radius ** 2) / 2400)).toBeLessThan(0.004);
    }
  });

  test('stands as near to the foot of a step as it likes', () => {
    const mesh = together([box([0, -40, -5], [60, 40, 0]), box([-20, -40, -5], [0, 40, 20])]);
    expect(shares(mesh, [tool(4), tool(25)], floorOf(mesh))).toEqual([0, 0, 1]);
  });

  test('passes over what is lower than its face gives, and not over what is higher', () => {
    const ridge = (height: number) =>
      together([box([-40, -40, -5], [40, 40, 0]), box([-1, -200, 0], [1, 200, height])]);
    // the floor under the ridge, a 40th of it, has the ridge straight over it
    const [underLow] = shares(ridge(0.9 * GIVE), [tool(20), tool(39)], floorOf(ridge(0.9 * GIVE)));
    expect(underLow).toBeCloseTo(1 / 40, 2);
    // 38 mm are free on either side
    const between = [box([-40, -200, 0], [-39, 200, 20]), box([39, -200, 0], [40, 200, 20])];
    const high = together([ridge(1.1 * GIVE), ...between]);
    const [underHigh, small, large] = shares(high, [tool(18.8), tool(19.4)], floorOf(high));
    // but for a band of a 200th of the radius by each of six faces
    expect(Math.abs(underHigh! - 2 / 40)).toBeLessThan((6 * 18.8) / 200 / 80);
    expect(small).toBeGreaterThan(0.94);
    expect(large).toBeLessThan(0.01);
    const lower = together([ridge(0.9 * GIVE), ...between]);
    expect(shares(lower, [tool(18.8), tool(38.5)], floorOf(lower))[2]).toBeCloseTo(38 / 40, 2);
  });

  test('does not reach under a ceiling lower than the tool, but as far as it stands out', () => {
    const mesh = together([box([-50, -50, -5], [50, 50, 0]), box([-60, -60, 30], [0, 60, 40])]);
    const [none, low, high] = shares(mesh, [tool(8, 25), tool(8.5, 35)], floorOf(mesh));
    expect(none).toBe(0);
    expect(low).toBeCloseTo(0.5, 2);
    expect(high).toBeCloseTo(0.5, 2);
  });

  test('inside a ball of radius R has the radius sqrt(2 R d - d^2)', () => {
    const mesh = hollowBall({ outerMm: 103, wallMm: 3 }, 5);
    const middle = areaNormals(mesh);
    const inside = Uint8Array.from({ length: numTris(mesh) }, (_, t) => (isInward(mesh, middle, t) ? 1 : 0));
    const limit = Math.sqrt(2 * 100 * GIVE - GIVE ** 2);
    const [none, one, two] = shares(mesh, [tool(0.97 * limit, 60), tool(1.03 * limit, 60)], inside);
    expect(none).toBeLessThan(0.02);
    expect(one).toBeGreaterThan(0.96);
    expect(two).toBeLessThan(0.02);
  });

  test('is as large as one likes outside a ball and a box', () => {
    expect(shares(icoSphere(40, 4), [tool(4), tool(500, 500)])).toEqual([0, 0, 1]);
    expect(shares(box([0, 0, 0], [30, 20, 10]), [tool(4), tool(500, 500)])).toEqual([0, 0, 1]);
  });

  test('finds a disc that fills a round pit, and none a little larger', () => {
    const mesh = groove(24, 24, 'closed');
    const [none, fits] = shares(mesh, [tool(11.9), tool(12.2)], floorOf(mesh));
    expect(fits! * 24 * 24).toBeGreaterThan(Math.PI * 11.9 ** 2 - 6);
    expect(none! + fits!).toBeGreaterThan(0.988);
  });

  test('is the same when the model is turned and grown with the tools', () => {
    const mesh = groove(40, 60, 'closed');
    const [c, s] = [Math.cos(0.7), Math.sin(0.7)];
    const turn: Transform = [
      3 * c,
      -3 * s,
      0,
      3 * s * c,
      3 * c * c,
      -3 * s,
      3 * s * s,
      3 * c * s,
      3 * c,
      700,
      -200,
      90,
    ];
    const options = { giveMm: 3, mostPlaces: 4000, asked: floorOf(mesh) };
    const turned = transformMesh(turn, mesh);
    const found = discReach(turned, buildBoundingTree(turned), { ...options, tools: [tool(36, 45)] });
    const before = reached(mesh, [tool(12)], floorOf(mesh));
    const same = found.reach.filter((count, i) => count === before.reach[i]).length;
    expect(same / found.reach.length).toBeGreaterThan(0.995);
    expect(found.areaMm2[0]! + found.areaMm2[1]!).toBeCloseTo(9 * 2400, 6);
  });

  test('gives every triangle that nobody asked about that of its neighbours, and wants a ladder', () => {
    const mesh = icoSphere(40, 4);
    expect(new Set(reached(mesh, [tool(4)]).perTri)).toEqual(new Set([1]));
    expect(() => reached(mesh, [tool(9), tool(4)])).toThrow('grow along the ladder');
    expect(reached(mesh, [tool(4)], new Uint8Array(numTris(mesh))).reach.length).toBe(0);
  });
});

function isInward(mesh: Mesh, normals: Float64Array, t: number): boolean {
  const v = mesh.triangles[t * 3]! * 3;
  const at: Vec3 = [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
  return at[0] * normals[t * 3]! + at[1] * normals[t * 3 + 1]! + at[2] * normals[t * 3 + 2]! < 0;
}
