// Layers of bodies with closed forms, and the moves along contours.
import { describe, expect, it } from 'vitest';
import { closingAreas } from '../../../src/geometry/closing-areas.ts';
import { MoveList } from '../../../src/geometry/contour-moves.ts';
import { layerMeasures } from '../../../src/geometry/layer-measures.ts';
import { planeSections } from '../../../src/geometry/plane-section.ts';
import { blob } from '../../support/print-blob.ts';
import { box, circle, joinMeshes, sphere, tube } from '../../support/printing-shapes.ts';

const options = { firstMm: 0.2, stepMm: 0.2, mergeMm: 0.02 };
const sum = (values: ArrayLike<number>): number => Array.from(values).reduce((a, b) => a + b, 0);

describe('layer measures', () => {
  it('of a tube: one outer contour, one hole, no loss inward, no link between concentric circles', () => {
    const layers = layerMeasures(tube(20, 17, 4, 360), options);
    expect(layers.numLayers).toBe(20);
    expect(layers.numOuter[7]).toBe(1);
    expect(layers.numHoles[7]).toBe(1);
    expect(layers.linkMm[7]).toBeCloseTo(0, 9);
    expect(layers.insetLoss[7]).toBeCloseTo(0, 2);
    expect(layers.areaMm2[7]! / (Math.PI * (400 - 289))).toBeCloseTo(1, 3);
  });

  it('of a sphere: loses 2 pi a mm inward', () => {
    const layers = layerMeasures(sphere(20, 60, 400), options);
    expect(layers.insetLoss[100]! / (2 * Math.PI)).toBeCloseTo(1, 2);
  });

  it('link boxes by the shortest tree', () => {
    const shifted = (by: number) => {
      const mesh = box(4, 4, 2);
      return { ...mesh, positions: mesh.positions.map((v, i) => (i % 3 === 0 ? v + by : v)) };
    };
    const layers = layerMeasures(joinMeshes(joinMeshes(shifted(0), shifted(30)), shifted(10)), options);
    expect(layers.numOuter[3]).toBe(3);
    expect(layers.linkMm[3]).toBeCloseTo(30, 9);
  });

  it('agree with plane sections in area and length', () => {
    const mesh = blob(15, [
      [0.08, 1],
      [0.05, 4],
    ]);
    const layers = layerMeasures(mesh, options);
    const sections = planeSections(mesh, { firstMm: 0.1, stepMm: 0.2 });
    expect(layers.numLayers).toBe(sections.numLayers);
    for (let k = 0; k < layers.numLayers; k++) {
      expect(layers.areaMm2[k]).toBeCloseTo(sections.areaMm2[k]!, 7);
      expect(layers.lengthMm[k]).toBeCloseTo(sections.lengthMm[k]!, 7);
    }
  });

  it('have a first layer of its own', () => {
    const layers = layerMeasures(sphere(10, 40, 40), { ...options, firstMm: 0.3 });
    expect(Array.from(layers.bottomMm.subarray(0, 3))).toEqual([0, 0.3, 0.5]);
    expect(layers.middleMm[0]).toBeCloseTo(0.15, 12);
    expect(layers.middleMm[1]).toBeCloseTo(0.4, 12);
  });
});

describe('contour moves', () => {
  const flat = (points: readonly (readonly [number, number])[]): Float64Array => Float64Array.from(points.flat());

  it('merge what lies on a line', () => {
    const list = new MoveList(0.01);
    const side = Array.from({ length: 10 }, (_, i) => [i, 0] as const);
    expect(list.addLoop(flat([...side, [10, 0], [10, 10], [0, 10]]), 0, 13)).toBeCloseTo(8, 9);
    const { lengthMm, bend } = list.moves();
    expect(Array.from(lengthMm)).toEqual([10, 10, 10, 10]);
    for (const b of bend.subarray(0, 3)) expect(b).toBeCloseTo(0.5, 12);
  });

  it('replace a fine circle by chords that leave it by at most the tolerance', () => {
    const list = new MoveList(0.02);
    list.addLoop(flat(circle(50, 20_000)), 0, 20_000);
    const { lengthMm } = list.moves();
    const longest = 2 * Math.sqrt(2 * 50 * 0.02);
    expect(Math.max(...lengthMm)).toBeLessThan(longest * 1.001);
    expect(lengthMm.length).toBeLessThan(1.5 * ((2 * Math.PI * 50) / longest));
    expect(sum(lengthMm) / (2 * Math.PI * 50)).toBeCloseTo(1, 3);
  });

  it('keep a hole growing inward: an L loses 2 tan at five corners less one right turn', () => {
    const list = new MoveList(0.01);
    const L = flat([
      [0, 0],
      [10, 0],
      [10, 4],
      [4, 4],
      [4, 10],
      [0, 10],
    ]);
    expect(list.addLoop(L, 0, 6)).toBeCloseTo(10 - Math.PI / 2, 9);
  });

  it('start at the sharpest corner, where a pass has its seam', () => {
    const list = new MoveList(0.01);
    list.addLoop(
      flat([
        [0, 0],
        [5, 0],
        [10, 0],
        [5, 1],
        [0, 4],
      ]),
      0,
      5,
    );
    const { lengthMm } = list.moves();
    expect(lengthMm[0]).toBeCloseTo(Math.hypot(5, 1), 12);
    expect(Array.from(lengthMm).at(-1)).toBe(10);
  });

  it('drop a loop smaller than the tolerance', () => {
    const list = new MoveList(0.1);
    expect(
      list.addLoop(
        flat([
          [0, 0],
          [0.01, 0],
          [0, 0.01],
        ]),
        0,
        3,
      ),
    ).toBe(0);
    expect(list.numLoops).toBe(1);
    expect(list.moves().lengthMm.length).toBe(0);
  });
});

describe('closing areas', () => {
  it('of one closing layer and no passes sum to what faces up and down', () => {
    const mesh = sphere(20, 180, 180);
    const { middleMm } = layerMeasures(mesh, options);
    const areas = closingAreas(mesh, { middleMm, numClosing: 1, stepMm: 0.2, edgeMm: 0 });
    const seen = (180 / 2) * 400 * Math.sin((2 * Math.PI) / 180);
    expect(sum(areas) / (2 * seen)).toBeCloseTo(1, 9);
  });

  it('of a sphere, near the pole, are the circle four layers down less the circle here', () => {
    const mesh = sphere(50, 720, 360);
    const { middleMm } = layerMeasures(mesh, options);
    const areas = closingAreas(mesh, { middleMm, numClosing: 4, stepMm: 0.2, edgeMm: 0 });
    const circleAt = (z: number): number => Math.PI * (100 * z - z * z);
    const k = 250 + 150;
    expect(areas[k]! / (circleAt(middleMm[k]!) - circleAt(middleMm[k + 4]!))).toBeCloseTo(1, 3);
  });
});
