// Crossing pairs of triangles counted by hand.
import { describe, expect, it } from 'vitest';
import { Cancelled, QUIET_WORK } from '../../../../src/base/work.ts';
import { selfCrossings } from '../../../../src/geometry/crossings/self-crossings.ts';
import { box, icoSphere, together, uvSphere } from '../../../../src/mesh/builders.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../../src/mesh/mesh.ts';
import { weldSoup } from '../../../../src/mesh/weld.ts';

/** Triangles by their corners, welded. */
function soup(...triangles: readonly (readonly [Vec3, Vec3, Vec3])[]): Mesh {
  return weldSoup(Float64Array.from(triangles.flat(2))).mesh;
}

function tetrahedron(a: Vec3, b: Vec3, c: Vec3, d: Vec3): readonly (readonly [Vec3, Vec3, Vec3])[] {
  return [
    [a, c, b],
    [a, b, d],
    [b, c, d],
    [c, a, d],
  ];
}

const FLAT: readonly [Vec3, Vec3, Vec3] = [
  [0, 0, 0],
  [4, 0, 0],
  [0, 4, 0],
];

const cases: readonly {
  readonly name: string;
  readonly mesh: Mesh;
  readonly kinds: readonly [number, number, number];
}[] = [
  { name: 'two triangles apart', mesh: soup(FLAT, [[0, 0, 1], [4, 0, 1], [0, 4, 1]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'one pierces the other', mesh: soup(FLAT, [[1, 1, -1], [1, 1, 1], [9, 9, 0]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'a corner stands on the other', mesh: soup(FLAT, [[1, 1, 0], [1, 2, 1], [2, 1, 1]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'a corner stands on an edge of the other', mesh: soup(FLAT, [[2, 0, 0], [1, -2, 1], [2, -1, 1]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'a corner just misses the edge', mesh: soup(FLAT, [[2, -1e-300, 0], [1, -2, 1], [2, -1, 1]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'edges touch in a point', mesh: soup(FLAT, [[2, 0, -1], [2, 0, 1], [2, -2, 0]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'edges on one line overlap, planes differ', mesh: soup(FLAT, [[1, 0, 0], [6, 0, 0], [3, 0, 2]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'edges on one line do not reach each other', mesh: soup(FLAT, [[5, 0, 0], [6, 0, 0], [3, 0, 2]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'overlapping in one plane', mesh: soup(FLAT, [[1, 1, 0], [5, 1, 0], [1, 5, 0]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'one inside the other in one plane', mesh: soup(FLAT, [[1, 1, 0], [1.5, 1, 0], [1, 1.5, 0]]), kinds: [0, 0, 1] }, // biome-ignore format: one a line
  { name: 'one plane, apart', mesh: soup(FLAT, [[3, 3, 0], [5, 3, 0], [3, 5, 0]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'sharing a corner, apart', mesh: soup(FLAT, [[0, 0, 0], [-4, 0, 1], [0, -4, 1]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'sharing a corner, piercing', mesh: soup(FLAT, [[0, 0, 0], [3, 1, 1], [3, 1, -1]]), kinds: [0, 1, 0] }, // biome-ignore format: one a line
  { name: 'sharing a corner, overlapping in one plane', mesh: soup(FLAT, [[0, 0, 0], [3, 1, 0], [1, 3, 0]]), kinds: [0, 1, 0] }, // biome-ignore format: one a line
  { name: 'sharing a corner, one plane, side by side', mesh: soup(FLAT, [[0, 0, 0], [-3, 1, 0], [-1, 3, 0]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'sharing an edge, bent', mesh: soup(FLAT, [[4, 0, 0], [0, 0, 0], [0, 4, 1e-12]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'sharing an edge, flat', mesh: soup(FLAT, [[4, 0, 0], [0, 0, 0], [0, -4, 0]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  { name: 'sharing an edge, folded', mesh: soup(FLAT, [[4, 0, 0], [0, 0, 0], [1, 1, 0]]), kinds: [1, 0, 0] }, // biome-ignore format: one a line
  { name: 'the same triangle twice', mesh: soup(FLAT, FLAT), kinds: [0, 0, 0] },
  { name: 'a triangle without area through another', mesh: soup(FLAT, [[1, 1, -1], [1, 1, 0], [1, 1, 1]]), kinds: [0, 0, 0] }, // biome-ignore format: one a line
  {
    name: 'two tetrahedra, one standing with an edge through a face of the other',
    // the edge from (1,1,-1) to (1,1,1) lies on two faces of the second and goes through the bottom of the first
    mesh: soup(
      ...tetrahedron([0, 0, 0], [9, 0, 0], [0, 9, 0], [0, 0, 9]),
      ...tetrahedron([1, 1, 1], [1, 1, -1], [2, 1, -1], [1, 2, -1]),
    ),
    kinds: [0, 0, 3],
  },
];

describe('self-crossings', () => {
  it.each(cases)('$name', ({ mesh, kinds }) => {
    const got = selfCrossings(mesh);
    expect([got.kinds.folded, got.kinds.atCorner, got.kinds.apart]).toEqual(kinds);
    expect(got.pairs).toBe(kinds[0] + kinds[1] + kinds[2]);
    expect(got.pairList.length).toBe(2 * got.pairs);
  });

  it('closed surfaces without crossings have none', () => {
    for (const mesh of [box([0, 0, 0], [1, 2, 3]), icoSphere(50, 4), uvSphere(1, 40)])
      expect(selfCrossings(mesh)).toMatchObject({ pairs: 0, triangles: 0, firstAtMm: null, flat: 0 });
  });

  it('lists pairs sorted, counts on beyond the limit, names a place', () => {
    const moved = (dx: number): Mesh => box([dx, dx / 2, dx / 3], [dx + 2, dx / 2 + 2, dx / 3 + 2]);
    const mesh = together([moved(0), moved(1)]);
    const all = selfCrossings(mesh);
    const few = selfCrossings(mesh, QUIET_WORK, { listLimit: 3 });
    expect(all.pairs).toBeGreaterThan(3);
    expect(all.listed).toBe(all.pairs);
    expect([few.pairs, few.triangles, few.listed, few.pairList.length]).toEqual([all.pairs, all.triangles, 3, 6]);
    const keys = Array.from({ length: all.pairs }, (_, k) => all.pairList[2 * k]! * 24 + all.pairList[2 * k + 1]!);
    expect(keys).toEqual([...keys].sort((a, b) => a - b));
    expect(all.firstAtMm!.every(Number.isFinite)).toBe(true);
    expect(all.crossed.reduce((sum, mark) => sum + mark, 0)).toBe(all.triangles);
  });

  it('says how far it is, never backwards, and stops when told to', () => {
    const mesh = uvSphere(100, 120);
    const seen: number[] = [];
    selfCrossings(mesh, { ...QUIET_WORK, tick: (fraction) => void seen.push(fraction) });
    expect(seen.length).toBeGreaterThan(5);
    expect(seen.every((f, i) => f >= (seen[i - 1] ?? 0) && f <= 1)).toBe(true);
    const stop = (): void => {
      throw new Cancelled();
    };
    expect(() => selfCrossings(mesh, { ...QUIET_WORK, tick: stop })).toThrow(Cancelled);
  });

  it('an empty mesh has none', () => {
    expect(selfCrossings(meshOf(new Float64Array(0), new Uint32Array(0))).pairs).toBe(0);
  });
});
