// Rebuilt and thickened surfaces: closed whatever comes in, and the same when the world is turned and scaled.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rebuildSurface } from '../../src/geometry/mend/rebuild/rebuild.ts';
import { thickenSheet } from '../../src/geometry/mend/rebuild/thicken-sheet.ts';
import { surfaceArea, volume } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../src/mesh/topology.ts';
import { bumpyBall } from '../support/random-mesh.ts';

const SEED = 8_117;
const CELL = 0.15;

describe(`rebuilding (seed ${SEED})`, () => {
  test('overlapping, opened and doubled balls come back closed, within a cell', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.constantFrom(0, 40),
        fc.double({ min: 0, max: 1.5, noNaN: true }),
        (seed, cut, away) => {
          const ball = bumpyBall(seed, 3);
          const num = ball.positions.length / 3;
          const positions = new Float64Array(num * 6);
          positions.set(ball.positions);
          positions.set(
            ball.positions.map((x, i) => (i % 3 === 0 ? x + away : x)),
            num * 3,
          );
          const triangles = Uint32Array.from([...ball.triangles.slice(cut * 3), ...ball.triangles.map((v) => v + num)]);
          const outcome = rebuildSurface(meshOf(positions, triangles), { cellMm: CELL });
          expect(outcome.ok).toBe(true);
          if (!outcome.ok) return;
          expect(surfaceCheck(outcome.value.mesh)).toMatchObject({ closed: true, manifold: true });
          expect(outcome.value.deviation.p99Mm).toBeLessThan(CELL);
        },
      ),
      { seed: SEED, numRuns: 5 },
    );
  });

  test('turned, scaled and moved: the same solid, within what a grid can differ', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0.01, max: 100, noNaN: true }), (seed, scale) => {
        const ball = bumpyBall(seed, 3);
        const moved = turned(ball, scale);
        const [a, b] = [
          volumeOf(rebuildSurface(ball, { cellMm: CELL })),
          volumeOf(rebuildSurface(moved, { cellMm: CELL * scale })),
        ];
        expect(Math.abs(a - volume(ball))).toBeLessThan(0.02 * CELL * surfaceArea(ball));
        expect(Math.abs(b / scale ** 3 - a)).toBeLessThan(0.02 * CELL * surfaceArea(ball));
      }),
      { seed: SEED, numRuns: 3 },
    );
  });

  test('a sheet turned and scaled gets the same wall', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0.01, max: 100, noNaN: true }), (seed, scale) => {
        const ball = bumpyBall(seed, 3);
        const sheet = meshOf(ball.positions, ball.triangles.slice(900));
        const wall = (mesh: Mesh, by: number): number =>
          volumeOf(thickenSheet(mesh, { wallMm: 0.3 * by, cellMm: CELL * by })) / by ** 3;
        const [a, b] = [wall(sheet, 1), wall(turned(sheet, scale), scale)];
        expect(Math.abs(b - a)).toBeLessThan(0.05 * CELL * surfaceArea(sheet));
      }),
      { seed: SEED, numRuns: 3 },
    );
  });
});

function volumeOf(outcome: ReturnType<typeof rebuildSurface> | ReturnType<typeof thickenSheet>): number {
  if (!outcome.ok) throw new Error(outcome.why);
  expect(surfaceCheck(outcome.value.mesh)).toMatchObject({ closed: true, manifold: true });
  return volume(outcome.value.mesh);
}

function turned(mesh: Mesh, scale: number): Mesh {
  const p = mesh.positions;
  const out = new Float64Array(p.length);
  const [c, s] = [Math.cos(0.7), Math.sin(0.7)];
  for (let i = 0; i < p.length; i += 3) {
    const u = c * p[i]! - s * p[i + 1]!;
    const v = s * p[i]! + c * p[i + 1]!;
    out[i] = scale * (c * u - s * p[i + 2]! + 3);
    out[i + 1] = scale * (v - 7);
    out[i + 2] = scale * (s * u + c * p[i + 2]! + 1);
  }
  return meshOf(out, mesh.triangles);
}
