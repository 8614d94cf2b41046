import { describe, expect, it } from 'vitest';
import { selfCrossings } from '../../../../src/geometry/crossings/self-crossings.ts';
import { bowl, box, cylinder, icoSphere, together } from '../../../../src/mesh/builders.ts';
import { volume } from '../../../../src/mesh/measure.ts';
import { type Mesh, meshOf, numTris, type Vec3 } from '../../../../src/mesh/mesh.ts';
import { surfaceCheck, turnedInsideOut } from '../../../../src/mesh/topology.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import { testKernel } from '../../../support/kernel.ts';

const kernel = await testKernel();

const cornersOf = ({ positions, triangles }: Mesh, tri: number): string[] =>
  [0, 1, 2].map((c) => positions.subarray(triangles[tri * 3 + c]! * 3, triangles[tri * 3 + c]! * 3 + 3).join());

const boxVolume = (low: Vec3, high: Vec3): number => (high[0] - low[0]) * (high[1] - low[1]) * (high[2] - low[2]);

describe('combine', () => {
  it('adds and cuts, cuts last, to the last digits of double precision', () => {
    const a = [
      [0, 0, 0],
      [10 + 1 / 3, 10, 10],
    ] as const;
    const b = [
      [5, 5, 5],
      [15 + 1 / 7, 15 + 1 / 9, 15],
    ] as const;
    const c = [
      [-1, -1, 6 + 1 / 11],
      [7, 7 + 1 / 13, 20],
    ] as const;
    const made = kernel.combine(box(...a), [box(...b)], [box(...c)]);
    const both = boxVolume(b[0], a[1]);
    const cutOfA = boxVolume([0, 0, c[0][2]], [c[1][0], c[1][1], 10]);
    const cutOfB = boxVolume([5, 5, c[0][2]], [c[1][0], c[1][1], 15]);
    const cutOfBoth = boxVolume([5, 5, c[0][2]], [c[1][0], c[1][1], 10]);
    const expected = boxVolume(...a) + boxVolume(...b) - both - (cutOfA + cutOfB - cutOfBoth);
    expect(Math.abs(volume(made.mesh) / expected - 1)).toBeLessThan(1e-14);
    expect(surfaceCheck(made.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1 });
  });

  it('knows of every triangle where it comes from, and that what was cut is turned round', () => {
    const inputs = [box([0, 0, 0], [10, 10, 10]), box([3, 3, 8], [7, 7, 15]), box([4, 4, -1], [6, 6, 4])];
    const { mesh, from, fromTri } = kernel.combine(inputs[0]!, [inputs[1]!], [inputs[2]!]);
    expect(new Set(from)).toEqual(new Set([0, 1, 2]));
    for (let tri = 0; tri < numTris(mesh); tri++) {
      const n = normalOf(mesh, tri);
      const m = normalOf(inputs[from[tri]!]!, fromTri[tri]!);
      const agree = n[0] * m[0] + n[1] * m[1] + n[2] * m[2];
      expect(agree).toBeCloseTo(from[tri] === 2 ? -1 : 1, 12);
    }
  });

  it('leaves what no key touches bit for bit as it was', () => {
    const base = bowl({ outerMm: 40 + 1 / 3, wallMm: 3 }, 40);
    const key = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 38.7, 0.2, -4], cylinder(1, 12, 24));
    const { mesh, from, fromTri } = kernel.combine(base, [key], []);
    const times = new Uint32Array(numTris(base));
    for (let tri = 0; tri < from.length; tri++) if (from[tri] === 0) times[fromTri[tri]!]!++;
    let whole = 0;
    for (let tri = 0; tri < from.length; tri++) {
      if (from[tri] !== 0 || times[fromTri[tri]!] !== 1) continue;
      const were = cornersOf(base, fromTri[tri]!);
      if (cornersOf(mesh, tri).every((corner) => were.includes(corner))) whole++;
    }
    expect(whole).toBeGreaterThan(numTris(base) - 40);
  });

  it('keeps edges shorter than single precision can tell, and triangles without area', () => {
    const cube = box([100, 100, 100], [110, 110, 110]);
    const split = withVertOnEdge(cube, 1e-9);
    const { mesh } = kernel.combine(split, [], []);
    expect(numTris(mesh)).toBe(numTris(split));
    expect(Array.from(mesh.positions).sort()).toEqual(Array.from(split.positions).sort());
  });

  it('returns the inputs in an order of its own making, always the same', () => {
    const args = [icoSphere(10, 3), [box([0, 0, 0], [12, 3, 3])], [box([-12, -1, -1], [0, 1, 1])]] as const;
    expect(kernel.combine(...args)).toEqual(kernel.combine(...args));
  });

  it('joins along faces that lie in one plane, and cuts flush', () => {
    const made = kernel.combine(box([0, 0, 0], [10, 10, 3]), [box([2, 2, 3], [4, 4, 8])], [box([6, 6, 1], [8, 8, 3])]);
    expect(volume(made.mesh)).toBeCloseTo(300 + 20 - 8, 11);
    expect(surfaceCheck(made.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1 });
    expect(selfCrossings(made.mesh).pairs).toBe(0);
  });

  it('holds: combined = base + (combined - base) - (base - combined)', () => {
    const base = bowl({ outerMm: 40, wallMm: 3 }, 24);
    const keyed = kernel.combine(
      base,
      [transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 36.1, 0.3, -4], cylinder(2, 9, 32))],
      [transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, -38.4, 0.3, -4], cylinder(1, 9, 32))],
    ).mesh;
    const more = volume(kernel.combine(keyed, [], [base]).mesh);
    const less = volume(kernel.combine(base, [], [keyed]).mesh);
    expect(more).toBeGreaterThan(10);
    expect(less).toBeGreaterThan(1);
    expect(Math.abs(volume(keyed) - (volume(base) + more - less))).toBeLessThan(1e-6);
  });

  it('takes an empty answer for an answer', () => {
    const made = kernel.combine(box([1, 1, 1], [2, 2, 2]), [], [box([0, 0, 0], [3, 3, 3])]);
    expect(numTris(made.mesh)).toBe(0);
  });

  it('throws for an open surface, and works on after that', () => {
    const cube = box([0, 0, 0], [1, 1, 1]);
    const open = meshOf(cube.positions, cube.triangles.slice(3));
    expect(() => kernel.combine(cube, [open], [])).toThrow();
    expect(volume(kernel.combine(cube, [], []).mesh)).toBeCloseTo(1, 14);
  });

  it('takes a surface with a hollow in it', () => {
    const hollow = together([box([0, 0, 0], [10, 10, 10]), turnedInsideOut(box([2, 2, 2], [8, 8, 8]))]);
    const made = kernel.combine(hollow, [], [box([4, 4, 7], [6, 6, 11])]);
    expect(volume(made.mesh)).toBeCloseTo(1000 - 216 - 8, 10);
    expect(surfaceCheck(made.mesh).shells).toBe(1);
  });
});

function normalOf({ positions: p, triangles }: Mesh, tri: number): Vec3 {
  const [a, b, c] = [0, 1, 2].map((k) => triangles[tri * 3 + k]! * 3) as [number, number, number];
  const u = [0, 1, 2].map((k) => p[b + k]! - p[a + k]!) as [number, number, number];
  const v = [0, 1, 2].map((k) => p[c + k]! - p[a + k]!) as [number, number, number];
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]] as const;
  const length = Math.hypot(...n);
  return [n[0] / length, n[1] / length, n[2] / length];
}

/** The first edge parted at a point `along` mm from its start: four triangles for two, two of them needles. */
function withVertOnEdge({ positions, triangles }: Mesh, along: number): Mesh {
  const [a, b] = [triangles[0]!, triangles[1]!];
  const added = [0, 1, 2].map(
    (k) => positions[a * 3 + k]! + along * Math.sign(positions[b * 3 + k]! - positions[a * 3 + k]!),
  );
  const vert = positions.length / 3;
  const out: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const tri = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const at = tri.findIndex((v, c) => (v === a && tri[(c + 1) % 3] === b) || (v === b && tri[(c + 1) % 3] === a));
    if (at < 0) {
      out.push(...tri);
      continue;
    }
    const [p, q, r] = [tri[at]!, tri[(at + 1) % 3]!, tri[(at + 2) % 3]!];
    out.push(p, vert, r, vert, q, r);
  }
  return meshOf(Float64Array.from([...positions, ...added]), Uint32Array.from(out));
}
