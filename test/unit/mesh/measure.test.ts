import { describe, expect, it } from 'vitest';
import { bowl, box, cone, cylinder, hollowBall, icoSphere, torus, tube, uvSphere } from '../../../src/mesh/builders.ts';
import { areaNormals, bounds, centreOfMass, middleOf, sizeOf, surfaceArea, volume } from '../../../src/mesh/measure.ts';
import { meshOf } from '../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../src/mesh/transform.ts';

const ngon = (n: number): number => (n / 2) * Math.sin((2 * Math.PI) / n);

describe('box of 2 x 3 x 4', () => {
  const mesh = box([1, 1, 1], [3, 4, 5]);
  it('has its size, area, volume and middle', () => {
    expect(sizeOf(bounds(mesh))).toEqual([2, 3, 4]);
    expect(middleOf(bounds(mesh))).toEqual([2, 2.5, 3]);
    expect(surfaceArea(mesh)).toBe(52);
    expect(volume(mesh)).toBeCloseTo(24, 12);
    centreOfMass(mesh).forEach((v, k) => {
      expect(v).toBeCloseTo([2, 2.5, 3][k]!, 12);
    });
  });

  it('keeps its volume to 1e-12 a kilometre off', () => {
    const far = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 1048576, -1048576, 1048576], mesh);
    expect(Math.abs(volume(far) / 24 - 1)).toBeLessThan(1e-12);
  });

  it('has area normals that sum to nothing', () => {
    const sum = [0, 0, 0];
    areaNormals(mesh).forEach((v, i) => {
      sum[i % 3]! += v;
    });
    expect(sum).toEqual([0, 0, 0]);
  });
});

describe('prisms over a regular polygon are exact', () => {
  const n = 48;
  it.each([
    ['cylinder', cylinder(5, 10, n), ngon(n) * 25 * 10],
    ['cone', cone(5, 12, n), (ngon(n) * 25 * 12) / 3],
    ['tube', tube({ outerMm: 5, wallMm: 2, heightMm: 7 }, n, 3), ngon(n) * (25 - 9) * 7],
  ] as const)('%s', (_, mesh, expected) => {
    expect(Math.abs(volume(mesh) / expected - 1)).toBeLessThan(1e-13);
  });
});

describe('round bodies come near their closed forms, four times nearer at twice the steps', () => {
  const third = (4 / 3) * Math.PI;
  it.each([
    ['uv sphere', (k: number) => uvSphere(7, 16 * k), third * 343, 4 * Math.PI * 49],
    ['ico sphere', (k: number) => icoSphere(7, 2 + k), third * 343, 4 * Math.PI * 49],
    [
      'torus',
      (k: number) => torus({ majorMm: 9, minorMm: 2 }, 40 * k, 24 * k),
      2 * Math.PI ** 2 * 36,
      4 * Math.PI ** 2 * 18,
    ],
    ['hollow ball', (k: number) => hollowBall({ outerMm: 7, wallMm: 2 }, 2 + k), third * (343 - 125), 4 * Math.PI * 74],
    ['bowl', (k: number) => bowl({ outerMm: 7, wallMm: 2 }, 8 * k), (third * (343 - 125)) / 2, Math.PI * (2 * 74 + 24)],
  ] as const)('%s', (_, build, exactVolume, exactArea) => {
    const [coarse, fine] = [build(1), build(2)];
    const gain = (measure: typeof volume, exact: number): number => (exact - measure(coarse)) / (exact - measure(fine));
    expect(gain(volume, exactVolume)).toBeGreaterThan(3.8);
    expect(gain(volume, exactVolume)).toBeLessThan(4.2);
    expect(gain(surfaceArea, exactArea)).toBeGreaterThan(3.8);
    expect(gain(surfaceArea, exactArea)).toBeLessThan(4.2);
  });
});

it('an empty mesh has no area, no volume and an inverted box', () => {
  const nothing = meshOf(new Float64Array(0), new Uint32Array(0));
  expect([surfaceArea(nothing), volume(nothing)]).toEqual([0, 0]);
  expect(bounds(nothing).minMm).toEqual([Infinity, Infinity, Infinity]);
  expect(centreOfMass(nothing)).toEqual([0, 0, 0]);
});
