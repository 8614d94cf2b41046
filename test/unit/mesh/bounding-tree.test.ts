import { describe, expect, it } from 'vitest';
import { buildBoundingTree, TREE_VERSION } from '../../../src/mesh/bounding-tree.ts';
import { box, icoSphere, uvSphere } from '../../../src/mesh/builders.ts';
import { closestPoint, closestPoints } from '../../../src/mesh/closest-point.ts';
import { type Mesh, meshOf, NONE, type Vec3 } from '../../../src/mesh/mesh.ts';
import { raycast, raycastMany, rayHitsAny } from '../../../src/mesh/ray.ts';

const CUBE = box([0, 0, 0], [1, 1, 1]);
const cubeTree = buildBoundingTree(CUBE);

describe('the tree itself', () => {
  const mesh = uvSphere(130, 40);
  const tree = buildBoundingTree(mesh);

  it('holds every triangle in one leaf, inside every box above it', () => {
    const seen = new Uint8Array(mesh.triangles.length / 3);
    let outside = 0;
    const check = (place: number, above: readonly number[]): void => {
      const tri = tree.slotTri[place]!;
      seen[tri] = seen[tri]! + 1;
      for (let i = 0; i < 9; i++) {
        const x = mesh.positions[mesh.triangles[tri * 3 + Math.floor(i / 3)]! * 3 + (i % 3)]!;
        if (tree.slotCorners[place * 9 + i] !== x) outside++;
        for (const slot of above) {
          if (!(tree.boxes[slot * 6 + (i % 3)]! < x && x < tree.boxes[slot * 6 + 3 + (i % 3)]!)) outside++;
        }
      }
    };
    const walk = (slot: number, above: readonly number[]): void => {
      const code = tree.children[slot]!;
      for (let i = 0; code < 0 && i < (~code & 15); i++) check((~code >>> 4) + i, [...above, slot]);
      if (code < 0) return;
      walk(code * 2, [...above, slot]);
      walk(code * 2 + 1, [...above, slot]);
    };
    walk(0, []);
    expect(outside).toBe(0);
    expect(seen.every((times) => times === 1)).toBe(true);
  });

  it('survives being copied to a worker', () => {
    const copy = structuredClone(tree);
    expect(copy.version).toBe(TREE_VERSION);
    expect(raycast(copy, [0, 0, 0], [0.3, 0.4, 0.5])).toEqual(raycast(tree, [0, 0, 0], [0.3, 0.4, 0.5]));
  });

  it('ticks and can be stopped while it is built', () => {
    const stop = {
      tick: () => {
        throw new Error('stopped');
      },
      seed: 1,
    };
    expect(() => buildBoundingTree(uvSphere(1, 60), stop)).toThrow('stopped');
  });

  it.each([
    ['no triangle', meshOf(new Float64Array(0), new Uint32Array(0)), 0],
    ['a thousand times the same', repeated(CUBE, 1000), 12000],
    ['points only', meshOf(new Float64Array(9), new Uint32Array(3000)), 1000],
  ] as const)('is built for %s', (_, awkward, numTriangles) => {
    const built = buildBoundingTree(awkward);
    expect(built.slotTri.length).toBe(numTriangles);
    expect(built.boxes.length / 12).toBeLessThanOrEqual(numTriangles + 1);
    raycast(built, [0.5, 0.5, -1], [0, 0, 1]);
    closestPoint(built, [2, 2, 2]);
  });
});

describe('rays', () => {
  it('meet the nearest side, from outside and from inside', () => {
    expect(raycast(cubeTree, [0.3, 0.4, -2], [0, 0, 1])?.t).toBe(2);
    expect(raycast(cubeTree, [0.3, 0.4, 0.75], [0, 0, 1])?.t).toBe(0.25);
    expect(raycast(cubeTree, [0.3, 0.4, -2], [0, 0, -1])).toBeNull();
  });

  it('count distance in lengths of the direction', () => {
    expect(raycast(cubeTree, [0.3, 0.4, -2], [0, 0, 4])?.t).toBe(0.5);
  });

  it('heed from, to and skipTri', () => {
    const origin: Vec3 = [0.3, 0.4, -2];
    const first = raycast(cubeTree, origin, [0, 0, 1])!;
    expect(raycast(cubeTree, origin, [0, 0, 1], { skipTri: first.tri })?.t).toBe(3);
    expect(raycast(cubeTree, origin, [0, 0, 1], { from: 2.5 })?.t).toBe(3);
    expect(raycast(cubeTree, origin, [0, 0, 1], { to: 2 })?.t).toBe(2);
    expect(raycast(cubeTree, origin, [0, 0, 1], { to: 1.999 })).toBeNull();
    expect(rayHitsAny(cubeTree, origin, [0, 0, 1], { to: 1.999 })).toBe(false);
    expect(rayHitsAny(cubeTree, origin, [0, 0, 1])).toBe(true);
  });

  it('never slip between neighbours: through every vertex and edge middle of a ball, from its middle and from askew', () => {
    const ball = icoSphere(1, 3);
    const tree = buildBoundingTree(ball);
    for (const from of [
      [0, 0, 0],
      [0.3, -0.2, 0.11],
    ] as const) {
      for (let h = 0; h < ball.triangles.length; h++) {
        const a = ball.triangles[h]! * 3;
        const b = ball.triangles[h % 3 === 2 ? h - 2 : h + 1]! * 3;
        const share = [0, 0.5, 0.3][h % 3]!;
        const d = [0, 1, 2].map(
          (k) => ball.positions[a + k]! * (1 - share) + ball.positions[b + k]! * share - from[k]!,
        );
        expect(raycast(tree, from, d as unknown as Vec3)?.t).toBeCloseTo(1, 12);
      }
    }
  });

  it('run along an axis, within a side, and through the corner without trouble', () => {
    expect(raycast(cubeTree, [-1, 0, 0], [1, 0, 0])?.t).toBe(1);
    expect(raycast(cubeTree, [-1, -1, -1], [1, 1, 1])?.t).toBe(1);
    expect(raycast(cubeTree, [-1, 0.5, 0], [1, 0, 0])?.t).toBe(1);
    expect(raycast(cubeTree, [0.5, 0.5, 0.5], [0, 0, 0])).toBeNull();
  });

  it('come in bulk with the same answers', () => {
    const rays = Float64Array.from([0.3, 0.4, -2, 0, 0, 1, 5, 5, 5, 1, 0, 0]);
    const out = { tri: new Int32Array(2), t: new Float64Array(2) };
    raycastMany(cubeTree, rays, out);
    expect([Array.from(out.t), out.tri[1]]).toEqual([[2, Infinity], NONE]);
    raycastMany(cubeTree, rays, out, { skipTris: out.tri.slice() });
    expect(out.t[0]).toBe(3);
  });
});

describe('closest points', () => {
  it.each([
    [
      [2, 0.3, 0.4],
      [1, 0.3, 0.4],
    ],
    [
      [2, 2, 0.4],
      [1, 1, 0.4],
    ],
    [
      [-1, -1, -1],
      [0, 0, 0],
    ],
    [
      [0.5, 0.4, 0.9],
      [0.5, 0.4, 1],
    ],
  ] as const)('of %j is %j', (point, at) => {
    const found = closestPoint(cubeTree, point)!;
    found.atMm.forEach((v, k) => {
      expect(v).toBeCloseTo(at[k]!, 15);
    });
    expect(found.distanceMm).toBeCloseTo(Math.hypot(...point.map((v, k) => v - at[k]!)), 14);
  });

  it('come in bulk, and within a limit', () => {
    const out = { tri: new Int32Array(2), distanceMm: new Float64Array(2), atMm: new Float64Array(6) };
    closestPoints(cubeTree, Float64Array.from([2, 0.3, 0.4, 5, 5, 5]), out, { withinMm: 1.5 });
    expect(Array.from(out.distanceMm)).toEqual([1, Infinity]);
    expect(out.tri[1]).toBe(NONE);
    expect(Math.hypot(out.atMm[0]! - 1, out.atMm[1]! - 0.3, out.atMm[2]! - 0.4)).toBeLessThan(1e-15);
    expect(closestPoint(cubeTree, [5, 5, 5], 1)).toBeNull();
  });
});

function repeated(mesh: Mesh, times: number): Mesh {
  return meshOf(
    mesh.positions,
    Uint32Array.from({ length: mesh.triangles.length * times }, (_, i) => mesh.triangles[i % mesh.triangles.length]!),
  );
}
