import { describe, expect, it } from 'vitest';
import { addPriceCurve, pricedBand, pricedLine } from '../../../src/geometry/line-price.ts';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import { sphereMesh } from '../../support/pieces/round-shapes.ts';

const R = 100;
const mesh = sphereMesh(R, 5);
const num = mesh.triangles.length / 3;
const all = Int32Array.from({ length: num }, (_, tri) => tri);
const band = pricedBand(mesh, new Float32Array(num).fill(0.5), all, { middle: [3, -2, 1] });
const circle = (d: number) => 2 * Math.PI * Math.sqrt(R * R - d * d);

describe('lines on a ball where a millimetre counts half', () => {
  it.each<{ normal: Vec3; d: number }>([
    { normal: [0, 0, 1], d: 0.3 },
    { normal: [0.6, 0, 0.8], d: 40 },
    { normal: [0.48, 0.6, 0.64], d: -80 },
  ])('are circles: normal $normal at $d', ({ normal, d }) => {
    const line = pricedLine(band, { normal, offsetMm: d }, []);
    expect(Math.abs(line.lengthMm / circle(d) - 1)).toBeLessThan(0.003);
    expect(line.costMm).toBeCloseTo(line.lengthMm / 2, 3);
    for (const c of [0, 1, 2] as const) expect(line.middle[c]).toBeCloseTo(d * normal[c], 0);
  });

  it('have the same cost told for many offsets at once as one by one', () => {
    const curve = new Float64Array(41);
    const normal: Vec3 = [0.6, 0, 0.8];
    addPriceCurve(band, normal, { firstMm: -20.3, stepMm: 1 }, curve);
    curve.forEach((costMm, k) => {
      expect(costMm).toBeCloseTo(pricedLine(band, { normal, offsetMm: -20.3 + k }, []).costMm, 2);
    });
  });

  it('end where a half space ends them, to the triangle', () => {
    const plane = { normal: [0, 0, 1] as const, offsetMm: 0.3 };
    const ends = [
      { plane: { normal: [1, 0, 0] as const, offsetMm: 0 }, side: 0 as const },
      { plane: { normal: [0, 1, 0] as const, offsetMm: 0 }, side: 1 as const },
    ];
    const line = pricedLine(band, plane, ends);
    expect(Math.abs(line.lengthMm / (circle(0.3) / 4) - 1)).toBeLessThan(0.003);
  });

  it('count once for each triangle that only some stand for', () => {
    const third = all.filter((tri) => tri % 3 === 0);
    const some = pricedBand(mesh, new Float32Array(num).fill(0.5), third, { middle: [0, 0, 0], share: 1 / 3 });
    const { costMm } = pricedLine(some, { normal: [0.48, 0.6, 0.64], offsetMm: 5 }, []);
    expect(Math.abs(costMm / (circle(5) / 2) - 1)).toBeLessThan(0.2);
  });
});
