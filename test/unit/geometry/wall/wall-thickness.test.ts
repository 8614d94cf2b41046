import { describe, expect, it, test } from 'vitest';
import { wallThickness } from '../../../../src/geometry/wall/wall-thickness.ts';
import { buildBoundingTree } from '../../../../src/mesh/bounding-tree.ts';
import { bowl, box, cone, hollowBall, icoSphere, together, tube, turned } from '../../../../src/mesh/builders.ts';
import { type Mesh, meshOf, numTris } from '../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';
import { bumpyBall, randomTransform } from '../../../support/random-mesh.ts';

const measured = (mesh: Mesh, mostMeasured = Infinity) =>
  wallThickness(mesh, buildBoundingTree(mesh), undefined, { mostMeasured });

/** Largest relative difference from a known wall. */
function worst(values: Iterable<number>, mm: number): number {
  let most = 0;
  for (const value of values) most = Math.max(most, Math.abs(value / mm - 1));
  return most;
}

/** Centroids, 3 numbers a triangle. */
function centroids({ positions, triangles }: Mesh): Float64Array {
  const out = new Float64Array(triangles.length);
  for (let h = 0; h < triangles.length; h++) {
    for (let c = 0; c < 3; c++) {
      const o = h - (h % 3) + c;
      out[o] = out[o]! + positions[triangles[h]! * 3 + c]! / 3;
    }
  }
  return out;
}

describe('wallThickness', () => {
  test.each([3, 10, 50])(
    'between balls of 100 and 100 - %i mm is R - r within 1 percent, by ball and by cone',
    (mm) => {
      const wall = measured(hollowBall({ outerMm: 100, wallMm: mm }, 4));
      expect(worst(wall.perTriMm, mm)).toBeLessThan(0.01);
      expect(worst(wall.ballMm, mm)).toBeLessThan(0.01);
      expect(worst(wall.coneMm, mm)).toBeLessThan(0.01);
    },
  );

  it('of a slab is its thickness on the edges too, within 1 percent', () => {
    const wall = measured(box([0, 0, 0], [100, 80, 3]));
    expect(worst(wall.perTriMm, 3)).toBeLessThan(0.01);
    const onFaces = wall.areaMm2.map((area) => (area > 1000 ? 1 : 0));
    expect(
      worst(
        wall.coneMm.filter((_, tri) => onFaces[tri] === 1),
        3,
      ),
    ).toBeLessThan(0.01);
    expect(worst(measured(box([0, 0, 0], [10, 10, 10])).perTriMm, 10)).toBeLessThan(0.01);
  });

  it('of a tube and of a bowl is the wall on the rim, where the normal runs along the wall', () => {
    expect(worst(measured(tube({ outerMm: 20, wallMm: 2, heightMm: 30 }, 96, 20)).perTriMm, 2)).toBeLessThan(0.01);
    expect(worst(measured(bowl({ outerMm: 100, wallMm: 3 }, 40)).perTriMm, 3)).toBeLessThan(0.01);
  });

  it('of a wedge is the ball that fits: 2 z tan(angle / 2) from the tip along the middle', () => {
    // 30 degrees; the foot of a ball on a side is as far from the tip as the ball's middle is along it
    const half = Math.PI / 12;
    const mesh = wedge(half, 40, 24);
    const wall = measured(mesh);
    const at = centroids(mesh);
    let checked = 0;
    for (let tri = 0; tri < numTris(mesh); tri++) {
      const [x, y, z] = [at[tri * 3]!, at[tri * 3 + 1]!, at[tri * 3 + 2]!];
      const along = Math.hypot(x, z);
      // sides only, away from the back and the ends
      if (Math.abs(Math.atan2(Math.abs(z), x) - half) > 1e-6 || along > 25 || y < 12 || y > 28) continue;
      expect(Math.abs(wall.perTriMm[tri]! / (2 * along * Math.tan(half)) - 1)).toBeLessThan(0.01);
      checked++;
    }
    expect(checked).toBeGreaterThan(50);
  });

  it('of a stepped plate is each step on its own', () => {
    // about z: 8 mm thick to radius 20, 2 mm to radius 40
    const profile: number[] = [];
    const add = (points: readonly (readonly [number, number])[]): void => {
      for (const [r, z] of points) profile.push(r, z);
    };
    const along = (from: number, to: number, z: number): [number, number][] =>
      Array.from({ length: 11 }, (_, i) => [from + ((to - from) * i) / 10, z] as [number, number]);
    add([...along(0, 40, 0), ...along(40, 20, 2), ...along(20, 0, 8)]);
    const mesh = turned(profile, { around: 96 });
    const wall = measured(mesh);
    const at = centroids(mesh);
    for (let tri = 0; tri < numTris(mesh); tri++) {
      const r = Math.hypot(at[tri * 3]!, at[tri * 3 + 1]!);
      // within a thickness of the step a ball of the thick part may touch from below
      if (r > 24) expect(Math.abs(wall.perTriMm[tri]! / 2 - 1)).toBeLessThan(0.02);
      if (r < 15) expect(Math.abs(wall.perTriMm[tri]! / 8 - 1)).toBeLessThan(0.02);
    }
  });

  it('is not stopped by rough facets: noise of a thirtieth of the wall leaves the middle of the wall right', () => {
    const mesh = rough(hollowBall({ outerMm: 50, wallMm: 3 }, 5), 0.1);
    const sorted = measured(mesh).perTriMm.slice().sort();
    expect(Math.abs(sorted[sorted.length >> 1]! / 3 - 1)).toBeLessThan(0.05);
    expect(sorted[Math.floor(sorted.length * 0.05)]).toBeGreaterThan(2.5);
  });

  test.each([1, 2, 3])('scales with the mesh and does not change when it is turned, seed %i', (seed) => {
    const mesh = bumpyBall(seed, 3);
    const plain = measured(mesh);
    for (const scale of [0.001, 1, 1000]) {
      const turned = measured(transformMesh(randomTransform(seed, scale), mesh));
      const inner = transformMesh(randomTransform(seed, scale), hollowBall({ outerMm: 5, wallMm: 1 }, 3));
      expect(worst(measured(inner).perTriMm, scale)).toBeLessThan(0.01);
      for (let tri = 0; tri < numTris(mesh); tri++)
        expect(Math.abs(turned.coneMm[tri]! / scale / plain.coneMm[tri]! - 1)).toBeLessThan(1e-5);
    }
  });

  it('says nearly the same when only some triangles are measured', () => {
    const mesh = bowl({ outerMm: 100, wallMm: 3 }, 60);
    const wall = measured(mesh, 6000);
    const num = wall.measured.reduce((sum, one) => sum + one, 0);
    expect(Math.abs(num / 6000 - 1)).toBeLessThan(0.1);
    expect(worst(wall.perTriMm, 3)).toBeLessThan(0.02);
  });

  it('is infinite where nothing lies behind and where a triangle has no area, and does not hang on a solid', () => {
    const open = meshOf(Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0]), Uint32Array.from([0, 1, 2, 0, 1, 1]));
    expect(Array.from(measured(open).perTriMm)).toEqual([Infinity, Infinity]);
    expect(Math.min(...measured(icoSphere(20, 5)).perTriMm)).toBeGreaterThan(30);
    expect(measured(cone(20, 60, 48)).perTriMm.every((mm) => mm > 0)).toBe(true);
    expect(
      worst(measured(together([box([0, 0, 0], [10, 10, 3]), box([0, 0, 0], [10, 10, 3])])).perTriMm, 3),
    ).toBeLessThan(0.01);
    expect(measured(meshOf(new Float64Array(0), new Uint32Array(0))).perTriMm.length).toBe(0);
  });
});

describe('the shape diameter, which is not used', () => {
  it('reads a slab of 3 mm as 4.1589 mm: mean over 60 degrees of half cone, uniform in solid angle', () => {
    // t / cos(a) over a cap: solid angle is uniform in cos(a), so the mean is t ln 2 / (1 - 1/2)
    const num = 200_000;
    let sum = 0;
    for (let i = 0; i < num; i++) sum += 3 / (0.5 + (0.5 * (i + 0.5)) / num) / num;
    expect(Math.abs(sum - (3 * Math.LN2) / (1 - Math.cos(Math.PI / 3)))).toBeLessThan(1e-6);
    expect(Math.abs(sum / 3 - 1.3863)).toBeLessThan(1e-4);
    const wall = measured(box([0, 0, 0], [100, 80, 3]));
    expect(Math.abs(wall.perTriMm[0]! - 3)).toBeLessThan(0.03);
  });
});

/** A prism along y whose section is a triangle with its tip at the origin, symmetric about x; `steps` pieces along x and y. */
function wedge(halfRad: number, longMm: number, steps: number): Mesh {
  const section: [number, number][] = [];
  const slope = Math.tan(halfRad);
  for (let i = 0; i < steps; i++) section.push([(longMm * i) / steps, (-slope * longMm * i) / steps]);
  for (let i = steps; i > 0; i--) section.push([(longMm * i) / steps, (slope * longMm * i) / steps]);
  const n = section.length;
  const positions: number[] = [];
  for (let j = 0; j <= steps; j++) for (const [x, z] of section) positions.push(x, (longMm * j) / steps, z);
  const triangles: number[] = [];
  for (let j = 0; j < steps; j++) {
    for (let i = 0; i < n; i++) {
      const [a, b] = [j * n + i, j * n + ((i + 1) % n)];
      triangles.push(a, a + n, b, b, a + n, b + n);
    }
  }
  // ends: quads between the two sides
  for (let i = 0; i < steps; i++) {
    for (const [end, flip] of [
      [0, false],
      [steps * n, true],
    ] as const) {
      const [a, b] = [end + i, end + i + 1];
      const [c, d] = [end + ((n - i) % n), end + ((n - i - 1) % n)];
      const faces = i === 0 ? [a, b, d] : [a, b, c, b, d, c];
      for (let k = 0; k < faces.length; k += 3) {
        const [p, q, r] = [faces[k]!, faces[k + 1]!, faces[k + 2]!];
        if (p === q || q === r || r === p) continue;
        triangles.push(...(flip ? [p, r, q] : [p, q, r]));
      }
    }
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** Every vertex moved by up to `mm` along its direction from the origin, always the same way. */
function rough(mesh: Mesh, mm: number): Mesh {
  const positions = mesh.positions.slice();
  for (let v = 0; v < positions.length / 3; v++) {
    const wave = Math.sin(v * 12.9898) * 43758.5453;
    const by = 1 + (mm * (2 * (wave - Math.floor(wave)) - 1)) / Math.hypot(...positions.subarray(v * 3, v * 3 + 3));
    for (let c = 0; c < 3; c++) positions[v * 3 + c] = positions[v * 3 + c]! * by;
  }
  return meshOf(positions, mesh.triangles);
}
