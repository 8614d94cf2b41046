import { describe, expect, it } from 'vitest';
import type { MeshPart } from '../../../../../src/geometry/plane-split.ts';
import { box, cylinder, icoSphere } from '../../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../../src/mesh/transform.ts';
import { keyGround } from '../../../../../src/workshop/pieces/joints/key-ground.ts';
import { keyedPiece } from '../../../../../src/workshop/pieces/joints/keyed-piece.ts';
import { skinOutside } from '../../../../../src/workshop/pieces/joints/skin-outside.ts';
import { testKernel } from '../../../../support/kernel.ts';

const outsideTree = (mesh: Mesh, seen: Uint8Array) => keyGround(mesh, [], seen).outside;
const kernel = await testKernel();
const partOf = (mesh: Mesh): MeshPart => ({
  mesh,
  sourceTri: Int32Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t),
});
const cutFrom = (mesh: Mesh, cut: readonly Mesh[], trims: readonly Mesh[] = []) => {
  const made = keyedPiece(partOf(mesh), kernel, { name: 'A', changes: [{ add: [], cut }], trims });
  if (!made.ok) throw new Error(made.why);
  return made.value;
};
const moved = (mesh: Mesh, x: number, y: number, z: number): Mesh =>
  transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, z], mesh);

describe('skinOutside', () => {
  const block = box([0, 0, 0], [40, 8, 30]);
  // Outside is the side y = 0.
  const seen = Uint8Array.from({ length: 12 }, (_, t) =>
    [0, 1, 2].every((c) => block.positions[block.triangles[t * 3 + c]! * 3 + 1] === 0) ? 200 : 0,
  );
  const outside = outsideTree(block, seen);

  it('is the wall beside a round hole', () => {
    const skin = skinOutside(cutFrom(block, [moved(cylinder(2, 12, 48), 20, 4, 22)]), outside);
    expect(skin!.skinMm).toBeCloseTo(2, 9);
    expect(skin!.atMm[1]).toBeCloseTo(2, 9);
  });

  it('is the wall behind a flat seat, quickly, though all of it is equally near', () => {
    const skin = skinOutside(cutFrom(block, [box([10, 1.2, 20], [30, 9, 31])]), outside);
    expect(skin!.skinMm).toBeCloseTo(1.2, 12);
  });

  it('does not look at what was trimmed, nor at what is not asked about', () => {
    const keyed = cutFrom(
      block,
      [moved(cylinder(1, 12, 48), 10, 4, 22), moved(cylinder(2, 12, 48), 30, 4, 22)],
      [box([-1, -1, 29.6], [41, 0.4, 31])],
    );
    expect(skinOutside(keyed, outside)!.skinMm).toBeCloseTo(2, 9);
    expect(skinOutside(keyed, outside, { near: ([x]) => x < 20 })!.skinMm).toBeCloseTo(3, 9);
  });

  it('is nothing where the cut goes through, and null where nothing was cut', () => {
    expect(skinOutside(cutFrom(block, [box([10, -1, 20], [30, 9, 31])]), outside)!.skinMm).toBe(0);
    expect(skinOutside(cutFrom(block, []), outside)).toBeNull();
    expect(
      skinOutside(cutFrom(block, [box([10, 4, 20], [30, 9, 31])]), outsideTree(block, new Uint8Array(12))),
    ).toBeNull();
  });

  it('is least between an edge and a vertex on a ball', () => {
    const ball = icoSphere(20, 4);
    const skin = skinOutside(
      cutFrom(ball, [box([-3, -3, -3], [3, 3, 30])]),
      outsideTree(ball, new Uint8Array(9999).fill(1)),
    );
    expect(skin!.skinMm).toBe(0);
    const deep = skinOutside(
      cutFrom(ball, [box([-3, -3, -3], [3, 3, 16])]),
      outsideTree(ball, new Uint8Array(9999).fill(1)),
    );
    expect(deep!.skinMm).toBeGreaterThan(20 * 0.995 - Math.hypot(3, 3, 16));
    expect(deep!.skinMm).toBeLessThan(20 - Math.hypot(3, 3, 16));
  });
});
