// Inward folds: found where they are, as deep as they are, and nowhere else.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../src/base/random.ts';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { concaveCreases } from '../../../src/geometry/concave-creases.ts';
import { icoSphere, turned } from '../../../src/mesh/builders.ts';
import { type Mesh, meshOf, numTris } from '../../../src/mesh/mesh.ts';

/** A round body about z from corners of its profile (radius, z), with a vertex every `stepMm`. */
function turnedFine(corners: readonly (readonly [number, number])[], stepMm: number): Mesh {
  const profile: number[] = [];
  corners.forEach(([r, z], i) => {
    const [r2, z2] = corners[Math.min(i + 1, corners.length - 1)]!;
    const steps = Math.max(1, Math.round(Math.hypot(r2 - r, z2 - z) / stepMm));
    for (let k = 0; k < (i + 1 < corners.length ? steps : 1); k++)
      profile.push(r + ((r2 - r) * k) / steps, z + ((z2 - z) * k) / steps);
  });
  return turned(profile, { around: 360 });
}

/** Deepest crease among triangles whose middle lies between two distances from the circle of radius r at height z. */
function deepest(mesh: Mesh, [r, z]: readonly [number, number], [from, to]: readonly [number, number]): number {
  const depth = concaveCreases(mesh, QUIET_WORK);
  let most = 0;
  for (let tri = 0; tri < numTris(mesh); tri++) {
    const [x, y, up] = [0, 1, 2].map((c) => {
      let sum = 0;
      for (let k = 0; k < 3; k++) sum += mesh.positions[mesh.triangles[tri * 3 + k]! * 3 + c]! / 3;
      return sum;
    }) as [number, number, number];
    const off = Math.hypot(Math.hypot(x, y) - r, up - z);
    if (off >= from && off < to) most = Math.max(most, depth[tri]!);
  }
  return most;
}

const step: [number, number][] = [
  [0, 0],
  [60, 0],
  [60, 20],
  [30, 20],
  [30, 60],
  [0, 60],
];

describe('concave creases', () => {
  it.each([0.5, 1, 2])(
    'a square step is a full crease within 2 mm of its foot, gone some millimetres on; triangles of %s mm',
    (by) => {
      const mesh = turnedFine(step, by);
      expect(deepest(mesh, [30, 20], [0, by])).toBeGreaterThan(0.9);
      expect(deepest(mesh, [30, 20], [4, 5])).toBeLessThan(0.7);
      expect(deepest(mesh, [30, 20], [5 + by, 1000])).toBe(0);
    },
  );

  it('a fold of 35 degrees is half as deep as one of 60', () => {
    const rise = 20 + 30 * Math.tan((35 * Math.PI) / 180);
    const cone: [number, number][] = [
      [0, 0],
      [60, 0],
      [60, 20],
      [30, 20],
      [0, rise],
    ];
    const found = deepest(turnedFine(cone, 0.5), [30, 20], [0, 0.4]);
    expect(found).toBeGreaterThan(0.38);
    expect(found).toBeLessThan(0.55);
  });

  it('a rounded foot counts as the fold it is', () => {
    const round = Array.from({ length: 13 }, (_, i): [number, number] => {
      const angle = (i / 12) * (Math.PI / 2);
      return [31 - Math.sin(angle), 21 - Math.cos(angle)];
    });
    const mesh = turnedFine([[0, 0], [60, 0], [60, 20], ...round, [30, 60], [0, 60]], 0.5);
    expect(deepest(mesh, [30.3, 20.3], [0, 0.5])).toBeGreaterThan(0.9);
  });

  it('a ball has none, and neither has a rough one', () => {
    const ball = icoSphere(40, 5);
    expect(Math.max(...concaveCreases(ball, QUIET_WORK))).toBe(0);
    const random = randomStream(3);
    const rough = meshOf(
      ball.positions.map((v) => v + 0.02 * (random() - 0.5)),
      ball.triangles,
    );
    expect(Math.max(...concaveCreases(rough, QUIET_WORK))).toBeLessThan(0.05);
  });
});
