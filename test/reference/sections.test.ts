// Sections and cuts against values from outside the project.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Plane } from '../../src/geometry/plane.ts';
import { planeSections, sectionByPlane } from '../../src/geometry/plane-section.ts';
import { splitByPlane } from '../../src/geometry/plane-split.ts';
import { bounds, volume } from '../../src/mesh/measure.ts';
import { testKernel } from '../support/kernel.ts';
import { ball, hasReference, numBadEdges, REFERENCE, readShell, ring, turned } from '../support/section-shapes.ts';

interface Fact<T> {
  readonly value: T;
  readonly tolerance: { readonly relative: number };
}
const fact = <T>(name: string): Fact<T> =>
  JSON.parse(readFileSync(new URL(`./${name}.json`, import.meta.url), 'utf8')) as Fact<T>;

const total = (values: Float64Array | Uint32Array): number => {
  let sum = 0;
  for (const value of values) sum += value;
  return sum;
};
const expectNear = (measured: number, value: number, relative: number): void =>
  expect(Math.abs(measured / value - 1)).toBeLessThan(relative);

const { triangulate } = await testKernel();

describe.skipIf(!hasReference).each(['50k', '200k'])(
  'reference shell of %s triangles (skipped when ../shared/reference is absent)',
  (size) => {
    const mesh = hasReference ? readShell(`${REFERENCE}/shell-${size}.stl`) : ball(1, 8);

    it('sums of all layers', () => {
      type Sums = { layers: number; h: number; sumLength: number; sumArea: number; sumLoops: number; segments: number };
      const { value, tolerance } = fact<Sums>(`section-layers-${size}`);
      const layers = planeSections(mesh, { firstMm: bounds(mesh).minMm[2] + value.h / 2, stepMm: value.h });
      expect(layers.numLayers).toBe(value.layers);
      expect(total(layers.numSegments)).toBe(value.segments);
      expect(total(layers.numLoops)).toBe(value.sumLoops);
      expectNear(total(layers.lengthMm), value.sumLength, tolerance.relative);
      expectNear(total(layers.areaMm2), value.sumArea, tolerance.relative);
    });

    it.each(['level', 'upright'])('the %s cut', (name) => {
      type Cut = { plane: Plane; volumeBelow: number; volumeAbove: number; capArea: number; seamLength: number };
      const { value, tolerance } = fact<Cut>(`split-${name}-${size}`);
      const made = splitByPlane(mesh, value.plane, { triangulate });
      if (!made.ok) throw new Error(made.why);
      const { below, above, capAreaMm2, seamMm } = made.value;
      expect(numBadEdges(below.mesh) + numBadEdges(above.mesh)).toBe(0);
      expectNear(volume(below.mesh), value.volumeBelow, tolerance.relative);
      expectNear(volume(above.mesh), value.volumeAbove, tolerance.relative);
      expectNear(capAreaMm2, value.capArea, tolerance.relative);
      expectNear(seamMm, value.seamLength, tolerance.relative);
    });
  },
);

describe('closed forms', () => {
  it('layers of a ball sum to its volume with the error of the midpoint rule', () => {
    const { value, tolerance } = fact<number>('section-ball-midpoint');
    const mesh = ball(50, 720);
    const normal = [0.48, 0.6, 0.64] as const;
    const stepMm = 5;
    const { areaMm2, numLayers } = planeSections(mesh, { firstMm: -50 + stepMm / 2, stepMm, normal });
    expect(numLayers).toBe(20);
    expectNear((total(areaMm2) * stepMm) / volume(mesh) - 1, value, tolerance.relative);
  });

  it('cylinder, cone and torus across their axis', () => {
    type Polygon = { sides: number; radius: number; area: number; perimeter: number };
    const { value, tolerance } = fact<Polygon>('section-ngon');
    const { sides, radius: r } = value;
    const across = (mesh: Parameters<typeof sectionByPlane>[0], offsetMm: number) =>
      sectionByPlane(mesh, { normal: [0, 0, 1], offsetMm });
    const cylinder = across(
      turned(
        [
          [0, 0],
          [r, 0],
          [r, 9],
          [0, 9],
        ],
        sides,
      ),
      4.2,
    );
    const cone = across(
      turned(
        [
          [0, 0],
          [2 * r, 0],
          [0, 2 * r],
        ],
        sides,
      ),
      r,
    );
    for (const section of [cylinder, cone]) {
      expectNear(section.areaMm2, value.area, tolerance.relative);
      expectNear(section.lengthMm, value.perimeter, tolerance.relative);
    }
    const torus = across(ring(2 * r, r, sides, 12), 0);
    expectNear(torus.areaMm2, value.area * (9 - 1), tolerance.relative);
    expectNear(torus.lengthMm, value.perimeter * (3 + 1), tolerance.relative);
  });
});
