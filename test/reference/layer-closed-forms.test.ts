// Areas and lengths of layers against closed forms: layer by layer, and how fast sums over layers and facets near them.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type LayerMeasures, layerMeasures } from '../../src/geometry/layer-measures.ts';
import { bounds } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { ring, turned } from '../support/section-shapes.ts';

const facts = JSON.parse(readFileSync(new URL('./layer-closed-forms.json', import.meta.url), 'utf8'));
const { sphere, cone, torus, cylinder } = facts.shapesMm as Record<string, Record<string, number>>;
const { PI } = Math;

interface Body {
  readonly heightMm: number;
  /** Of the layer at a height. */
  readonly area: (z: number) => number;
  readonly length: (z: number) => number;
  readonly volumeMm3: number;
  /** Integral of the lengths over the height. */
  readonly sideMm2: number;
  /** With so many facets around and along the profile. */
  readonly mesh: (around: number, along: number) => Mesh;
}

const [R, r, h, M, m, Rc, H] = [
  sphere!.radius!,
  cone!.radius!,
  cone!.height!,
  torus!.major!,
  torus!.minor!,
  cylinder!.radius!,
  cylinder!.height!,
];
const bodies: Readonly<Record<string, Body>> = {
  sphere: {
    heightMm: 2 * R,
    area: (z) => PI * (R * R - (z - R) ** 2),
    length: (z) => 2 * PI * Math.sqrt(R * R - (z - R) ** 2),
    volumeMm3: (4 / 3) * PI * R ** 3,
    sideMm2: PI ** 2 * R ** 2,
    mesh: (around, along) =>
      turned(
        Array.from({ length: along + 1 }, (_, i): [number, number] => [
          i === 0 || i === along ? 0 : R * Math.sin((PI * i) / along),
          R - R * Math.cos((PI * i) / along),
        ]),
        around,
      ),
  },
  cone: {
    heightMm: h,
    area: (z) => PI * (r * (1 - z / h)) ** 2,
    length: (z) => 2 * PI * r * (1 - z / h),
    volumeMm3: (PI * r * r * h) / 3,
    sideMm2: PI * r * h,
    mesh: (around) =>
      turned(
        [
          [0, 0],
          [r, 0],
          [0, h],
        ],
        around,
      ),
  },
  torus: {
    heightMm: 2 * m,
    area: (z) => 4 * PI * M * Math.sqrt(m * m - (z - m) ** 2),
    length: () => 4 * PI * M,
    volumeMm3: 2 * PI ** 2 * M * m * m,
    sideMm2: 8 * PI * M * m,
    mesh: (around, along) => standing(ring(M, m, around, along)),
  },
  cylinder: {
    heightMm: H,
    area: () => PI * Rc * Rc,
    length: () => 2 * PI * Rc,
    volumeMm3: PI * Rc * Rc * H,
    sideMm2: 2 * PI * Rc * H,
    mesh: (around) =>
      turned(
        [
          [0, 0],
          [Rc, 0],
          [Rc, H],
          [0, H],
        ],
        around,
      ),
  },
};

const AROUND = 24;
const ALONG = 3000;
const areaShare = (around: number): number => Math.sin((2 * PI) / around) / ((2 * PI) / around);
const lengthShare = (around: number): number => Math.sin(PI / around) / (PI / around);
const sum = (values: ArrayLike<number>): number => Array.from(values).reduce((a, b) => a + b, 0);
const layersOf = (body: Body, mesh: Mesh, num: number): LayerMeasures =>
  layerMeasures(mesh, { firstMm: body.heightMm / num, stepMm: body.heightMm / num, mergeMm: 0.02 });

describe.each(['cylinder', 'cone'])('each layer of a %s', (name) => {
  const body = bodies[name]!;
  it('is the closed form, to the last digits', () => {
    const layers = layersOf(body, body.mesh(AROUND, 1), 37);
    expect(layers.numLayers).toBe(37);
    for (const [k, z] of layers.middleMm.entries()) {
      const area = body.area(z) * areaShare(AROUND);
      const length = body.length(z) * lengthShare(AROUND);
      expect(Math.abs(layers.areaMm2[k]! / area - 1)).toBeLessThan(facts.straight.relative);
      expect(Math.abs(layers.lengthMm[k]! / length - 1)).toBeLessThan(facts.straight.relative);
    }
  });
});

describe.each(['sphere', 'torus'])('each layer of a %s', (name) => {
  const body = bodies[name]!;
  it('is the closed form, as far as its profile is round', () => {
    const layers = layersOf(body, body.mesh(AROUND, ALONG), 37);
    // a chord of the profile lies inside it by at most radius x (pi / sides)^2 / 2, which near the poles moves the contour more
    for (const [k, z] of layers.middleMm.entries()) {
      const pole = Math.min(z, body.heightMm - z) / body.heightMm;
      const off = (PI / ALONG) ** 2 / Math.min(1, pole);
      expect(Math.abs(layers.areaMm2[k]! / (body.area(z) * areaShare(AROUND)) - 1)).toBeLessThan(off);
      expect(Math.abs(layers.lengthMm[k]! / (body.length(z) * lengthShare(AROUND)) - 1)).toBeLessThan(off);
    }
  });
});

describe('sums over layers near the integral as the midpoint rule does', () => {
  const { layers: numbers, value, tolerance } = facts.midpointRule;
  const meshes = new Map(Object.entries(bodies).map(([name, body]) => [name, body.mesh(AROUND, ALONG)]));
  it.each(Object.keys(value))('%s', (what) => {
    const [name, of] = what.split(' ') as [string, 'area' | 'length'];
    const body = bodies[name]!;
    const { errors, order } = value[what] as { errors: number[]; order: number | null };
    const measured = (numbers as number[]).map((num) => {
      const layers = layersOf(body, meshes.get(name)!, num);
      expect(layers.numLayers).toBe(num);
      const [total, whole] =
        of === 'area'
          ? [sum(layers.areaMm2) / areaShare(AROUND), body.volumeMm3]
          : [sum(layers.lengthMm) / lengthShare(AROUND), body.sideMm2];
      return (total * (body.heightMm / num)) / whole - 1;
    });
    for (const [i, error] of errors.entries()) expect(Math.abs(measured[i]! - error)).toBeLessThan(tolerance.absolute);
    if (order === null) return;
    for (let i = 0; i + 1 < measured.length; i++)
      expect(Math.log2(measured[i]! / measured[i + 1]!)).toBeCloseTo(order, 1);
  });
});

describe('finer facets near the smooth body by the square of their number', () => {
  const { around, order, tolerance } = facts.facets as {
    around: number[];
    order: number;
    tolerance: { absolute: number };
  };
  it.each(Object.entries(bodies))('%s', (_, body) => {
    const errors = around.map((num) => {
      const layers = layersOf(body, body.mesh(num, num), 1009);
      const whole = Array.from(layers.middleMm);
      return [
        sum(layers.areaMm2) / sum(whole.map(body.area)) - 1,
        sum(layers.lengthMm) / sum(whole.map(body.length)) - 1,
      ] as const;
    });
    for (const of of [0, 1] as const)
      for (let i = 0; i + 1 < errors.length; i++) {
        const found = Math.log2(errors[i]![of] / errors[i + 1]![of]);
        expect(Math.abs(found - order)).toBeLessThan(tolerance.absolute);
      }
  });
});

function standing(mesh: Mesh): Mesh {
  const low = bounds(mesh).minMm[2];
  return meshOf(
    mesh.positions.map((v, i) => (i % 3 === 2 ? v - low : v)),
    mesh.triangles,
  );
}
