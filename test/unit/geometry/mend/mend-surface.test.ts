// Each defect by itself: what is left, what is said, and that a sound mesh is not touched.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { findDefects } from '../../../../src/geometry/mend/find-defects.ts';
import { type MendedSurface, type MendOptions, mendSurface } from '../../../../src/geometry/mend/mend-surface.ts';
import { box, icoSphere, together } from '../../../../src/mesh/builders.ts';
import { volume } from '../../../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../src/mesh/topology.ts';
import { weldMesh } from '../../../../src/mesh/weld.ts';

const mend = (mesh: Mesh, options: Partial<MendOptions> = {}): MendedSurface => mendSurface(mesh, options, QUIET_WORK);
const kinds = ({ steps }: MendedSurface): readonly string[] => steps.map(({ kind }) => kind);
const meshFrom = (positions: readonly number[], triangles: readonly number[]): Mesh =>
  meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
const withTriangles = (mesh: Mesh, triangles: Iterable<number>): Mesh =>
  meshOf(mesh.positions, Uint32Array.from(triangles));
/** Triangles of the mesh whose middle passes. */
const where = (mesh: Mesh, passes: (x: number, y: number, z: number) => boolean): Mesh => {
  const kept: number[] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corners = mesh.triangles.subarray(t, t + 3);
    const mid = (c: number): number => corners.reduce((sum, v) => sum + mesh.positions[3 * v + c]! / 3, 0);
    if (passes(mid(0), mid(1), mid(2))) kept.push(...corners);
  }
  return withTriangles(mesh, kept);
};

describe('a sound mesh', () => {
  it.each([
    ['ball', icoSphere(10, 3)],
    ['box', box([0, 0, 0], [1, 2, 3])],
    ['two boxes that cross', together([box([0, 0, 0], [2, 2, 2]), box([1, 1, 1], [3, 3, 3])])],
  ])('%s: passes through as it is, without a step', (_, mesh) => {
    const mended = mend(mesh);
    expect(mended.mesh).toBe(mesh);
    expect(mended.steps).toEqual([]);
    expect(mended.defects.isClean).toBe(true);
  });
});

describe('triangles on the same vertices', () => {
  it('one of two copies stays', () => {
    const ball = icoSphere(10, 2);
    const mended = mend(withTriangles(ball, [...ball.triangles, ...ball.triangles.subarray(30, 60)]));
    expect(mended.steps).toMatchObject([{ kind: 'triangles-double-removed', count: 10 }]);
    expect(surfaceCheck(mended.mesh).manifold).toBe(true);
  });

  it('the wall between two boxes that share a face goes, and they are one', () => {
    const pair = weldMesh(together([box([0, 0, 0], [1, 1, 1]), box([1, 0, 0], [2, 1, 1])])).mesh;
    const mended = mend(pair);
    expect(surfaceCheck(mended.mesh)).toMatchObject({ manifold: true, shells: 1 });
    expect(volume(mended.mesh)).toBeCloseTo(2, 12);
  });

  it('of the two sides of a sheet one stays', () => {
    const sheet = meshFrom([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0], [0, 1, 2, 0, 2, 3, 0, 2, 1, 0, 3, 2]);
    const mended = mend(sheet);
    expect(mended.mesh.triangles).toHaveLength(6);
    expect(mended.rims).toMatchObject([{ edges: 4, lengthMm: 4, lidAreaMm2: 1 }]);
  });
});

describe('edges with more than two faces', () => {
  it('two boxes that touch along an edge become two', () => {
    const pair = weldMesh(together([box([0, 0, 0], [1, 1, 1]), box([1, 1, 0], [2, 2, 1])])).mesh;
    const mended = mend(pair);
    expect(kinds(mended)).toEqual(['edges-parted', 'points-parted']);
    expect(surfaceCheck(mended.mesh)).toMatchObject({ manifold: true, shells: 2 });
    expect(volume(mended.mesh)).toBeCloseTo(2, 12);
  });

  it('with a single wall between two boxes neither is lost: one keeps the wall, the other is open there', () => {
    const pair = weldMesh(together([box([0, 0, 0], [1, 1, 1]), box([1, 0, 0], [2, 1, 1])])).mesh;
    const isWall = (t: number): boolean =>
      [0, 1, 2].every((c) => pair.positions[3 * pair.triangles[3 * t + c]!] === 1) && t >= 12;
    const mesh = withTriangles(
      pair,
      pair.triangles.filter((_, h) => !isWall(Math.trunc(h / 3))),
    );
    expect(findDefects(mesh).crowdedEdges.count).toBe(4);
    expect(mend(mesh).rims).toMatchObject([{ edges: 4, lengthMm: 4 }]);
    const closed = mend(mesh, { openings: 'close' });
    expect(surfaceCheck(closed.mesh)).toMatchObject({ manifold: true, shells: 2 });
    expect(volume(closed.mesh)).toBeCloseTo(2, 12);
  });
});

describe('sides', () => {
  it('a ball whose every third triangle is turned agrees again', () => {
    const ball = icoSphere(10, 3);
    const triangles = ball.triangles.slice();
    for (let t = 0; t < triangles.length; t += 9) triangles.set([ball.triangles[t + 1]!, ball.triangles[t]!], t);
    const mended = mend(withTriangles(ball, triangles));
    expect(kinds(mended)).toEqual(['triangles-turned']);
    expect(volume(mended.mesh)).toBeCloseTo(volume(ball), 9);
  });

  it('a band with one side is cut, and says so', () => {
    const positions: number[] = [];
    const triangles: number[] = [];
    const around = 24;
    for (let i = 0; i < around; i++) {
      const turn = (2 * Math.PI * i) / around;
      for (const w of [-1, 1]) {
        const r = 10 + w * Math.cos(turn / 2);
        positions.push(r * Math.cos(turn), r * Math.sin(turn), w * Math.sin(turn / 2));
      }
      const [a, b] = [2 * i, 2 * i + 1];
      const isLast = i + 1 === around;
      const [c, d] = isLast ? [1, 0] : [2 * i + 2, 2 * i + 3];
      triangles.push(a, c, b, b, c, d);
    }
    const mended = mend(meshFrom(positions, triangles));
    const check = surfaceCheck(mended.mesh);
    expect(mended.oneSidedEdges).toBe(1);
    expect([check.crowdedEdges, check.clashingEdges, check.pinchedVerts]).toEqual([0, 0, 0]);
  });
});

describe('seams', () => {
  it('two halves of a ball a rounding apart are one', () => {
    const ball = icoSphere(100, 3);
    const upper = where(ball, (_x, _y, z) => z > 0);
    const lower = where(ball, (_x, _y, z) => z <= 0);
    const moved = meshOf(
      lower.positions.map((x) => x + 4e-4),
      lower.triangles,
    );
    const mended = mend(weldMesh(together([upper, moved])).mesh);
    expect(kinds(mended)).toEqual(['vertices-joined']);
    expect(surfaceCheck(mended.mesh)).toMatchObject({ manifold: true, shells: 1, genus: 0 });
    expect(mended.steps[0]!.largestMm).toBeLessThan(1e-3);
  });

  it('a gap of a tenth of the size is not closed by joining', () => {
    const upper = where(icoSphere(100, 3), (_x, _y, z) => z > 0);
    const lower = where(icoSphere(100, 3), (_x, _y, z) => z <= 0);
    const apart = together([
      upper,
      meshOf(
        lower.positions.map((x, i) => (i % 3 === 2 ? x - 20 : x)),
        lower.triangles,
      ),
    ]);
    expect(kinds(mend(weldMesh(apart).mesh))).not.toContain('vertices-joined');
  });

  it('an edge with a vertex of the other side on it is split', () => {
    const cube = box([0, 0, 0], [2, 2, 2]);
    const [a, b, c] = cube.triangles.subarray(0, 3);
    const half = [0, 1, 2].map((i) => (cube.positions[3 * a! + i]! + cube.positions[3 * b! + i]!) / 2);
    const mesh = meshFrom([...cube.positions, ...half], [a!, 8, c!, 8, b!, c!, ...cube.triangles.subarray(3)]);
    expect(findDefects(mesh).tJunctions.count).toBe(1);
    const mended = mend(mesh);
    expect(kinds(mended)).toEqual(['edges-split']);
    expect(surfaceCheck(mended.mesh).manifold).toBe(true);
    expect(volume(mended.mesh)).toBeCloseTo(8, 12);
  });
});

describe('flat triangles', () => {
  it('one across an edge is flipped away', () => {
    const cube = box([0, 0, 0], [2, 2, 2]);
    const [a, b, c] = cube.triangles.subarray(0, 3);
    const half = [0, 1, 2].map((i) => (cube.positions[3 * a! + i]! + cube.positions[3 * b! + i]!) / 2);
    const mesh = meshFrom(
      [...cube.positions, ...half],
      [a!, 8, c!, 8, b!, c!, a!, b!, 8, ...cube.triangles.subarray(3)],
    );
    const mended = mend(mesh);
    expect(kinds(mended)).toEqual(['triangles-flat-removed']);
    expect(findDefects(mended.mesh).isClean).toBe(true);
    expect(volume(mended.mesh)).toBeCloseTo(8, 12);
  });
});

describe('holes and openings', () => {
  it('single triangles come back exactly', () => {
    const mesh = icoSphere(10, 3);
    const mended = mend(withTriangles(mesh, mesh.triangles.slice(3)));
    expect(kinds(mended)).toEqual(['holes-filled']);
    expect(volume(mended.mesh)).toBeCloseTo(volume(mesh), 9);
  });

  it('two holes that touch at a vertex are two', () => {
    const ball = icoSphere(10, 2);
    const v = ball.triangles[0]!;
    const at: number[] = [];
    for (let t = 0; t < ball.triangles.length; t += 3) if (ball.triangles.subarray(t, t + 3).includes(v)) at.push(t);
    const twins = [at[0]!];
    const shares = (s: number, t: number): number =>
      [...ball.triangles.subarray(s, s + 3)].filter((w) => ball.triangles.subarray(t, t + 3).includes(w)).length;
    twins.push(at.find((t) => t !== at[0] && shares(t, at[0]!) === 1)!);
    const mesh = withTriangles(
      ball,
      ball.triangles.filter((_, h) => !twins.includes(h - (h % 3))),
    );
    expect(findDefects(mesh).pinchedVerts.count).toBe(1);
    const mended = mend(mesh);
    expect(mended.steps).toMatchObject([{ kind: 'holes-filled', count: 2 }]);
    expect(volume(mended.mesh)).toBeCloseTo(volume(ball), 9);
  });

  it('a bowl keeps its opening and names it; asked to, it gets a lid', () => {
    const bowl = where(icoSphere(100, 4), (_x, _y, z) => z < 0);
    const kept = mend(bowl);
    expect(kept.rims).toHaveLength(1);
    expect(kept.rims[0]!.lidAreaMm2).toBeGreaterThan(30_000);
    expect(kept.rims[0]!.shareOfShell).toBeGreaterThan(0.4);
    const closed = mend(bowl, { openings: 'close' });
    expect(surfaceCheck(closed.mesh)).toMatchObject({ manifold: true, genus: 0 });
    expect(closed.rims).toEqual([]);
    expect(volume(closed.mesh)).toBeGreaterThan(volume(icoSphere(100, 4)) * 0.48);
    expect(volume(closed.mesh)).toBeLessThan(volume(icoSphere(100, 4)) * 0.52);
  });

  it('a cap cut off a ball comes back round, not flat', () => {
    const ball = icoSphere(100, 5);
    const mended = mend(where(ball, (_x, _y, z) => z < 95));
    expect(surfaceCheck(mended.mesh).manifold).toBe(true);
    // a flat lid would lose 0.18 % of the volume; a ball's curvature is carried on
    expect(Math.abs(volume(mended.mesh) / volume(ball) - 1)).toBeLessThan(1e-4);
  });

  it('stray triangles are crumbs', () => {
    const ball = icoSphere(100, 4);
    const stray = meshFrom([300, 0, 0, 301, 0, 0, 300, 1, 0], [0, 1, 2]);
    const mended = mend(together([ball, stray]));
    expect(mended.steps).toMatchObject([{ kind: 'crumbs-removed', count: 1 }]);
    expect(surfaceCheck(mended.mesh)).toMatchObject({ manifold: true, shells: 1 });
  });
});
