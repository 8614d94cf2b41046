// Winding numbers that are known in closed form, to the last digit written.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { buildWindingTree, windingExact, windingFast } from '../../src/geometry/winding/winding-number.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { box, icoSphere, together } from '../../src/mesh/builders.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';

interface Fact {
  readonly source: string;
  readonly value: {
    readonly disk: readonly { readonly heightMm: number; readonly winding: number }[];
    readonly openCube: number;
    readonly closed: number;
    readonly doubled: number;
  };
  readonly tolerance: { readonly disk: number; readonly closed: number };
}

const { source, value, tolerance } = JSON.parse(readFileSync('test/reference/winding-numbers.json', 'utf8')) as Fact;

describe(`winding numbers (${source})`, () => {
  test.each(value.disk)('a disk from $heightMm above its middle: $winding', ({ heightMm, winding }) => {
    // In the disk itself the value jumps from -1/2 to 1/2: it is taken from just below.
    const point = Float64Array.of(0, 0, -Math.max(heightMm, 1e-7));
    expect(Math.abs(windingExact(disk(20_001), point)[0]! - winding)).toBeLessThan(tolerance.disk);
  });

  test('a disk of fewer corners comes closer with the square of their number', () => {
    const off = (corners: number): number =>
      windingExact(disk(corners), Float64Array.of(0, 0, -1))[0]! - (1 - Math.SQRT1_2) / 2;
    expect(off(200) / off(400)).toBeCloseTo(4, 2);
  });

  test('an open cube from its middle', () => {
    const open = meshOf(box([-1, -1, -1], [1, 1, 1]).positions, box([-1, -1, -1], [1, 1, 1]).triangles.slice(6));
    expect(windingExact(open, Float64Array.of(0, 0, 0))[0]).toBeCloseTo(value.openCube, 14);
  });

  test.each([
    { name: 'closed', times: 1, winding: value.closed },
    { name: 'doubled', times: 2, winding: value.doubled },
  ])('$name surfaces', ({ times, winding }) => {
    const ball = icoSphere(10, 4);
    const mesh = together(Array.from({ length: times }, () => ball));
    const points = Float64Array.of(0, 0, 0, 3, -2, 5, 9.9, 0, 0, 0.1, 9.7, 0.2);
    for (const w of windingExact(mesh, points)) expect(Math.abs(w - winding)).toBeLessThan(tolerance.closed);
    expect(Math.abs(windingExact(mesh, Float64Array.of(11, 4, 0))[0]!)).toBeLessThan(tolerance.closed);
    const fast = buildWindingTree(buildBoundingTree(mesh));
    expect(Math.abs(windingFast(fast, 3, -2, 5) - winding)).toBeLessThan(1e-3);
  });
});

/** Radius 1, facing up, without a vertex at its middle: a fan from one corner; an odd number of corners, lest a side run through the middle. */
function disk(corners: number): Mesh {
  const positions = new Float64Array(corners * 3);
  const triangles = new Uint32Array((corners - 2) * 3);
  for (let i = 0; i < corners; i++) {
    positions[i * 3] = Math.cos((2 * Math.PI * (i + 0.3)) / corners);
    positions[i * 3 + 1] = Math.sin((2 * Math.PI * (i + 0.3)) / corners);
  }
  for (let i = 0; i + 2 < corners; i++) triangles.set([0, i + 1, i + 2], i * 3);
  return meshOf(positions, triangles);
}
