// Walls behind sheets against closed forms: half balls, tubes, folds tighter than the wall.
import { describe, expect, test } from 'vitest';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import { type Thickened, thickenSheet } from '../../../../../src/geometry/mend/rebuild/thicken-sheet.ts';
import { icoSphere, turned } from '../../../../../src/mesh/builders.ts';
import { bounds, volume } from '../../../../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck, turnedInsideOut } from '../../../../../src/mesh/topology.ts';

const HALF_BALL = turned(arc(30, 40), { around: 160 });
const TUBE = turned([20, 0, 20, 30], { around: 160 });

describe('thickening a sheet', () => {
  test('a half ball gets its wall within 1 percent, a flat rim and no lid', () => {
    const out = thickened(HALF_BALL, 3, 1.2);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1, genus: 0 });
    expect(volume(out.mesh) / ((2 / 3) * Math.PI * (30 ** 3 - 27 ** 3))).toBeCloseTo(1, 2);
    const radii = radiiOf(out.mesh);
    expect(Math.max(...radii)).toBeLessThan(30.12);
    expect(Math.abs(30 - Math.min(...radii) - 3)).toBeLessThan(0.03);
    expect(bounds(out.mesh).minMm[2]).toBeGreaterThan(-0.12);
    expect(out.deviation.maxMm).toBeLessThan(0.12);
  });

  test('a tube stays open at both ends', () => {
    const out = thickened(TUBE, 2, 1);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1, genus: 1 });
    expect(volume(out.mesh) / (Math.PI * (400 - 324) * 30)).toBeCloseTo(1, 2);
    expect(bounds(out.mesh).maxMm[2]).toBeCloseTo(30, 1);
  });

  test('turned inside out the wall lies on the other side', () => {
    const out = thickened(turnedInsideOut(TUBE), 2, 1);
    expect(volume(out.mesh) / (Math.PI * (484 - 400) * 30)).toBeCloseTo(1, 2);
  });

  test('a bend tighter than the wall fills and does not cross itself', () => {
    // A tube of radius 2 with a wall of 3: solid.
    const out = thickened(turned([2, 0, 2, 30], { around: 40 }), 3, 0.6);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1, genus: 0 });
    expect(volume(out.mesh) / (Math.PI * 4 * 30)).toBeCloseTo(1, 1);
    expect(selfCrossings(out.mesh).pairs).toBe(0);
  });

  test('a ridge thinner than two walls is solid', () => {
    const ridge = turned([15, 0, 15, 4, 21, 6, 21, 10, 15, 12, 15, 16], { around: 80 });
    const out = thickened(ridge, 3.5, 1);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true });
    expect(out.crossings).toBe(0);
    expect(out.deviation.p99Mm).toBeLessThan(0.1);
  });

  test('a closed surface becomes a hollow one', () => {
    const out = thickened(icoSphere(20, 4), 3, 0.9);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true, shells: 2 });
    expect(volume(out.mesh) / ((4 / 3) * Math.PI * (8000 - 17 ** 3))).toBeCloseTo(1, 2);
  });

  test('refuses nothing, and cells too fine for the memory', () => {
    const code = (mesh: Mesh, cellMm: number): string | null => {
      const outcome = thickenSheet(mesh, { wallMm: 3, cellMm });
      return outcome.ok ? null : outcome.code;
    };
    expect(code(meshOf(new Float64Array(0), new Uint32Array(0)), 1)).toBe('MESH_EMPTY');
    expect(code(HALF_BALL, 0.01)).toBe('REBUILD_TOO_FINE');
  });
});

function thickened(mesh: Mesh, wallMm: number, cellMm: number): Thickened {
  const outcome = thickenSheet(mesh, { wallMm, cellMm });
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome.value;
}

function radiiOf({ positions: p }: Mesh): number[] {
  return Array.from({ length: p.length / 3 }, (_, v) => Math.hypot(p[v * 3]!, p[v * 3 + 1]!, p[v * 3 + 2]!));
}

function arc(radius: number, steps: number): number[] {
  const out: number[] = [];
  for (let i = 0; i <= steps; i++) {
    const angle = (Math.PI / 2) * (i / steps);
    out.push(i === steps ? 0 : radius * Math.cos(angle), radius * Math.sin(angle));
  }
  return out;
}
