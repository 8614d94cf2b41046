// Rebuilding against shapes whose union, lid or remainder is known, and against inputs in every kind of disorder.
import { describe, expect, test } from 'vitest';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import { type Rebuilt, rebuildMb, rebuildSurface } from '../../../../../src/geometry/mend/rebuild/rebuild.ts';
import { bowl, box, hollowBall, icoSphere, together, torus } from '../../../../../src/mesh/builders.ts';
import { bounds, surfaceArea, volume } from '../../../../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck, turnedInsideOut } from '../../../../../src/mesh/topology.ts';
import { randomSoup } from '../../../../support/random-mesh.ts';

const BALL = icoSphere(20, 4);

describe('rebuilding', () => {
  test.each([
    { name: 'a ball', mesh: BALL, held: volume(BALL), shells: 1, genus: 0 },
    { name: 'a doubled ball', mesh: together([BALL, BALL]), held: volume(BALL), shells: 1, genus: 0 },
    {
      name: 'a box with faces in the planes of the grid',
      mesh: box([-10.5, -7, -5], [10.5, 7, 5]),
      held: 21 * 14 * 10,
      shells: 1,
      genus: 0,
    },
    {
      name: 'a ring',
      mesh: torus({ majorMm: 18, minorMm: 6 }, 120, 60),
      held: volume(torus({ majorMm: 18, minorMm: 6 }, 120, 60)),
      shells: 1,
      genus: 1,
    },
    {
      name: 'a hollow ball',
      mesh: hollowBall({ outerMm: 20, wallMm: 5 }, 4),
      held: volume(hollowBall({ outerMm: 20, wallMm: 5 }, 4)),
      shells: 2,
      genus: 0,
    },
    {
      name: 'a bowl',
      mesh: bowl({ outerMm: 20, wallMm: 3 }, 24),
      held: volume(bowl({ outerMm: 20, wallMm: 3 }, 24)),
      shells: 1,
      genus: 0,
    },
    {
      name: 'crossing boxes',
      mesh: together([box([0, 0, 0], [10, 10, 10]), box([5, 5, 5], [15, 15, 15])]),
      held: 1875,
      shells: 1,
      genus: 0,
    },
  ])('$name keeps what it holds, its shells and handles', ({ mesh, held, shells, genus }) => {
    const out = rebuilt(mesh, 1.3);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true, shells, genus });
    // Triangles of a cell's size on the tightest bend, radius 6, lie so far below it.
    expect(Math.abs(volume(out.mesh) - held) / surfaceArea(out.mesh)).toBeLessThan((1.3 * Math.SQRT2) ** 2 / (8 * 6));
    expect(out.deviation.maxMm).toBeLessThan(0.13);
    expect(out.deviation.p99Mm).toBeLessThanOrEqual(out.deviation.maxMm);
    expect(out.crossings).toBe(0);
    expect(selfCrossings(out.mesh).pairs).toBe(0);
    expect([out.addedAreaMm2, out.lostAreaMm2]).toEqual([0, 0]);
  });

  test('sharp edges and corners are kept', () => {
    const { mesh } = rebuilt(box([-10.3, -7.1, -5.2], [9.7, 6.8, 5.4]), 0.9);
    const { minMm, maxMm } = bounds(mesh);
    [-10.3, -7.1, -5.2].forEach((at, axis) => {
      expect(minMm[axis]).toBeCloseTo(at, 1);
    });
    [9.7, 6.8, 5.4].forEach((at, axis) => {
      expect(maxMm[axis]).toBeCloseTo(at, 1);
    });
  });

  test('what lies within is told and not measured', () => {
    const out = rebuilt(together([BALL, icoSphere(8, 3)]), 1.5);
    expect(surfaceCheck(out.mesh).shells).toBe(1);
    expect(out.innerAreaMm2 / surfaceArea(icoSphere(8, 3))).toBeCloseTo(1, 1);
    expect(out.deviation.maxMm).toBeLessThan(0.15);
  });

  test('an opening is closed, and the lid told apart from the deviation', () => {
    const open = meshOf(BALL.positions, BALL.triangles.slice(3 * 200));
    const out = rebuilt(open, 1.5);
    expect(surfaceCheck(out.mesh)).toMatchObject({ closed: true, manifold: true, shells: 1, genus: 0 });
    expect(out.addedAreaMm2).toBeGreaterThan(0.5 * (surfaceArea(BALL) - surfaceArea(open)));
    expect(out.deviation.maxMm).toBeLessThan(0.5);
  });

  test('a sheet beside a solid vanishes, and its area is told', () => {
    const sheet = meshOf(
      box([30, 0, 0], [31, 20, 20]).positions,
      box([30, 0, 0], [31, 20, 20]).triangles.slice(24, 30),
    );
    const out = rebuilt(together([BALL, sheet]), 1.5);
    expect(surfaceCheck(out.mesh).shells).toBe(1);
    expect(out.lostAreaMm2 / surfaceArea(sheet)).toBeCloseTo(1, 1);
  });

  test.each([1, 2, 3])('loose triangles in any order give a closed surface or none (seed %i)', (seed) => {
    const outcome = rebuildSurface(together([randomSoup(seed, 60), icoSphere(0.6, 3)]), { cellMm: 0.08 });
    expect(outcome.ok).toBe(true);
    if (outcome.ok) expect(surfaceCheck(outcome.value.mesh)).toMatchObject({ closed: true, manifold: true });
  });

  test('refuses nothing, what faces inward, and cells too fine for the memory', () => {
    const refused = (mesh: Mesh, cellMm: number, mostMb = 1500): string | null => {
      const outcome = rebuildSurface(mesh, { cellMm, mostMb });
      return outcome.ok ? null : outcome.code;
    };
    expect(refused(meshOf(new Float64Array(0), new Uint32Array(0)), 1)).toBe('MESH_EMPTY');
    expect(refused(turnedInsideOut(BALL), 1)).toBe('MESH_EMPTY');
    expect(refused(BALL, 0.01)).toBe('REBUILD_TOO_FINE');
    expect(rebuildMb(BALL, 0.5)).toBeGreaterThan(3 * rebuildMb(BALL, 1) * 0.5);
  });

  test('the same input gives the same bytes', () => {
    expect(rebuilt(BALL, 2).mesh).toEqual(rebuilt(BALL, 2).mesh);
  });
});

function rebuilt(mesh: Mesh, cellMm: number): Rebuilt {
  const outcome = rebuildSurface(mesh, { cellMm });
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome.value;
}
