// Treads followed over the surface: as the formula on a plane, as wide as the place where that is narrower.
import { describe, expect, it } from 'vitest';
import { treadWidths } from '../../../src/geometry/tread-widths.ts';
import { icoSphere, turned } from '../../../src/mesh/builders.ts';
import { type Mesh, meshOf } from '../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';
import { faceOf } from '../../support/layer-relief.ts';
import { box } from '../../support/printing-shapes.ts';

const LAYER = { layerMm: 0.2, widestMm: 30, isAsked: () => true };

/** Turned about x. */
function tilted(mesh: Mesh, deg: number): Mesh {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return transformMesh([1, 0, 0, 0, c, s, 0, -s, c, 0, 0, 0], mesh);
}

describe('a tread', () => {
  it.each([3, 8, 30, 60])('on a plane of %d degrees is layer / tan(slope), looking up and down', (deg) => {
    const mesh = tilted(box(300, 300, 150), deg);
    const widths = treadWidths(mesh, LAYER);
    for (let t = 0; t < widths.length; t++) {
      const { normal } = faceOf(mesh, t);
      if (Math.abs(normal[2] - Math.cos((deg * Math.PI) / 180)) > 1e-9) continue;
      expect(widths[t]).toBeCloseTo(0.2 / Math.tan((deg * Math.PI) / 180), 4);
    }
    const down = treadWidths(tilted(mesh, 180), LAYER);
    for (const [t, width] of widths.entries()) expect(down[t]).toBeCloseTo(width, 4);
  });

  it('on a ledge of 3 mm that leans a tenth of a degree is 3 mm wide, where the formula says 115', () => {
    const mesh = tilted(box(60, 3, 10), 0.1);
    const widths = treadWidths(mesh, LAYER);
    const onTop = Array.from(widths).filter((_, t) => faceOf(mesh, t).normal[2] > 0.99);
    expect(onTop).toHaveLength(2);
    for (const width of onTop) expect(width).toBeCloseTo(3, 2);
  });

  it('does not turn back under an edge', () => {
    // a lens, sharp all round: 40 mm wide, its top leans 1 degree, its underside 1 degree
    const rise = 20 * Math.tan(Math.PI / 180);
    const lens = turned([0, -rise, 20, 0, 0, rise], { around: 90 });
    const widths = treadWidths(lens, { ...LAYER, layerMm: 2 });
    for (const width of widths) expect(width).toBeGreaterThan(39 * 0.66);
    for (const width of widths) expect(width).toBeLessThanOrEqual(40.001);
  });

  it('at the pole of a ball is as wide as the cap that half a layer cuts off', () => {
    const ball = icoSphere(100, 6);
    const widths = treadWidths(ball, LAYER);
    const wide = (depthMm: number): number => 2 * Math.sqrt(2 * 100 * (depthMm + 0.1));
    let seen = 0;
    for (const [t, width] of widths.entries()) {
      const heights = faceOf(ball, t).corners.map((corner) => corner[2]!);
      if (Math.min(...heights) < 99.9) continue;
      seen++;
      expect(width).toBeGreaterThan(0.97 * wide(100 - Math.max(...heights)));
      expect(width).toBeLessThan(1.03 * wide(100 - Math.min(...heights)));
    }
    expect(seen).toBeGreaterThan(5);
  });

  it('ends at an open edge, is 0 where it is not asked for, and endless on a level face', () => {
    const level = box(10, 10, 10);
    expect(Array.from(treadWidths(level, LAYER)).every((width) => width === Infinity)).toBe(true);
    expect(Array.from(treadWidths(level, { ...LAYER, isAsked: () => false })).every((width) => width === 0)).toBe(true);
    const sheet = meshOf(Float64Array.of(0, 0, 0, 4, 0, 0, 0, 4, 0.01), Uint32Array.of(0, 1, 2));
    const [width] = treadWidths(sheet, LAYER) as unknown as [number];
    expect(width).toBeGreaterThan(0.1);
    expect(width).toBeLessThanOrEqual(4);
  });
});
