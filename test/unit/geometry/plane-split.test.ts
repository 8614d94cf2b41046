import { describe, expect, it } from 'vitest';
import type { Plane } from '../../../src/geometry/plane.ts';
import { planeAwayFromVerts } from '../../../src/geometry/plane-away.ts';
import { type MeshPart, type PlaneSplit, type SplitOptions, splitByPlane } from '../../../src/geometry/plane-split.ts';
import { twiceLoopArea } from '../../../src/geometry/section-loops.ts';
import { splitComponents } from '../../../src/geometry/split-components.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../src/mesh/mesh.ts';
import { testKernel } from '../../support/kernel.ts';
import { areaOf, ball, box, insideOut, numBadEdges, ring, together, volumeOf } from '../../support/section-shapes.ts';

const { triangulate } = await testKernel();
const UP: Vec3 = [0, 0, 1];

function split(mesh: Mesh, plane: Plane, options: Partial<SplitOptions> = {}): PlaneSplit {
  const made = splitByPlane(mesh, plane, { triangulate, ...options });
  if (!made.ok) throw new Error(made.why);
  return made.value;
}

const wholePart = (mesh: Mesh): MeshPart => ({
  mesh,
  sourceTri: Int32Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t),
});

const cube = box([0, 0, 0], [10, 10, 10]);
const hollow = together(ball(20, 32), insideOut(ball(10, 32)));

describe('splitByPlane', () => {
  const cases: { name: string; mesh: Mesh; plane: Plane; caps: number; capArea: number | null }[] = [
    { name: 'a cube in the middle', mesh: cube, plane: { normal: UP, offsetMm: 4 }, caps: 1, capArea: 100 },
    {
      name: 'a cube along its diagonal',
      mesh: cube,
      plane: { normal: [Math.SQRT1_2, Math.SQRT1_2, 0], offsetMm: 5 * Math.SQRT2 },
      caps: 1,
      capArea: 100 * Math.SQRT2,
    },
    { name: 'a cube at its lower face', mesh: cube, plane: { normal: UP, offsetMm: 0 }, caps: 0, capArea: 0 },
    { name: 'a cube at its upper face', mesh: cube, plane: { normal: UP, offsetMm: 10 }, caps: 1, capArea: 100 },
    { name: 'a ball with a hollow', mesh: hollow, plane: { normal: UP, offsetMm: 0.4 }, caps: 1, capArea: null },
    { name: 'a ball through its vertices', mesh: hollow, plane: { normal: UP, offsetMm: 0 }, caps: 1, capArea: null },
    {
      name: 'a torus across',
      mesh: ring(30, 8, 40, 20),
      plane: { normal: [1, 0, 0], offsetMm: 1 },
      caps: 2,
      capArea: null,
    },
    {
      name: 'a torus in its plane',
      mesh: ring(30, 8, 40, 20),
      plane: { normal: UP, offsetMm: 0.1 },
      caps: 1,
      capArea: null,
    },
    { name: 'a torus at its rim', mesh: ring(30, 8, 40, 20), plane: { normal: UP, offsetMm: 8 }, caps: 1, capArea: 0 },
  ];

  it.each(cases)('$name: closed sides, volumes sum, areas grow by two cut faces', ({ mesh, plane, caps, capArea }) => {
    const cut = split(mesh, plane);
    expect(numBadEdges(cut.below.mesh) + numBadEdges(cut.above.mesh)).toBe(0);
    expect(volumeOf(cut.below.mesh) + volumeOf(cut.above.mesh)).toBeCloseTo(volumeOf(mesh), 7);
    expect(areaOf(cut.below.mesh) + areaOf(cut.above.mesh)).toBeCloseTo(areaOf(mesh) + 2 * cut.capAreaMm2, 7);
    expect(cut.caps.length).toBe(caps);
    if (capArea !== null) expect(cut.capAreaMm2).toBeCloseTo(capArea, 8);
    expect(cut.movedMm).toBe(0);
  });

  it('gives an empty side when the plane misses, and keeps the other as it was', () => {
    const cut = split(cube, { normal: UP, offsetMm: 11 });
    expect(cut.above.mesh.triangles.length).toBe(0);
    expect([...cut.below.mesh.triangles]).toEqual([...cube.triangles]);
    expect(cut.caps).toEqual([]);
  });

  it('puts the outer loop first and every hole with its own outer loop', () => {
    const pipes = together(hollow, box([30, -5, -5], [40, 5, 5]), insideOut(box([33, -2, -2], [37, 2, 2])));
    const cut = split(pipes, { normal: UP, offsetMm: 0.4 });
    expect(cut.caps.map((cap) => cap.loops.length)).toEqual([2, 2]);
    for (const cap of cut.caps) {
      expect(twiceLoopArea(cap.loops[0]!)).toBeGreaterThan(0);
      expect(twiceLoopArea(cap.loops[1]!)).toBeLessThan(0);
      expect(cap.outlines.map((outline) => outline.length / 3)).toEqual(cap.loops.map((loop) => loop.length / 2));
    }
    expect(cut.caps[1]!.areaMm2).toBeCloseTo(84, 9);
    expect(cut.caps[1]!.lengthMm).toBeCloseTo(56, 9);
  });

  it('keeps the bits of new vertices and of cut faces the same on both sides', () => {
    const cut = split(hollow, { normal: [0.48, 0.6, 0.64], offsetMm: 1.3 });
    const numNew = cut.caps.reduce((sum, cap) => sum + cap.loops.reduce((n, loop) => n + loop.length / 2, 0), 0);
    const tail = (part: MeshPart): number[] => [...part.mesh.positions.slice(-3 * numNew)];
    expect(tail(cut.below)).toEqual(tail(cut.above));
  });

  it('knows where each triangle comes from, through a second cut', () => {
    const first = split(hollow, { normal: UP, offsetMm: 0.4 }, { capSourceOf: (cap) => -1 - cap });
    const second = split(
      first.above.mesh,
      { normal: [1, 0, 0], offsetMm: 0.7 },
      { sourceTri: first.above.sourceTri, capSourceOf: (cap) => -5 - cap },
    );
    for (const part of [second.below, second.above]) {
      expect(new Set([...part.sourceTri].filter((source) => source < 0))).toEqual(new Set([-1, -5]));
      let capArea = 0;
      part.sourceTri.forEach((source, t) => {
        const own = meshOf(part.mesh.positions, part.mesh.triangles.subarray(t * 3, t * 3 + 3));
        if (source === -1) capArea += areaOf(own);
        if (source >= 0) expect(distanceToTriangle(own, hollow, source)).toBeLessThan(1e-9);
      });
      expect(capArea).toBeGreaterThan(0);
    }
    expect(areaFrom(second.below, -1) + areaFrom(second.above, -1)).toBeCloseTo(first.capAreaMm2, 9);
    expect(areaFrom(second.below, -5)).toBeCloseTo(second.capAreaMm2, 9);
  });

  it('refuses an open surface and what the kernel cannot triangulate', () => {
    const open = meshOf(cube.positions, cube.triangles.slice(12));
    const plane: Plane = { normal: [1, 0, 0], offsetMm: 5 };
    expect(splitByPlane(open, plane, { triangulate })).toMatchObject({ ok: false, code: 'MESH_OPEN' });
    const broken = (): Uint32Array => {
      throw new Error('out of memory');
    };
    expect(splitByPlane(cube, plane, { triangulate: broken })).toMatchObject({ ok: false, code: 'SOLID_FAILED' });
    const wrong = (): Uint32Array => Uint32Array.of(0, 1, 2);
    expect(splitByPlane(cube, plane, { triangulate: wrong })).toMatchObject({ ok: false, code: 'SOLID_FAILED' });
  });

  it('moves the plane away from vertices when it may', () => {
    const cut = split(hollow, { normal: UP, offsetMm: 0 }, { slackMm: 0.5 });
    expect(Math.abs(cut.movedMm)).toBeGreaterThan(0.4);
    expect(cut.plane.offsetMm).toBe(cut.movedMm);
    expect(numBadEdges(cut.below.mesh)).toBe(0);
  });
});

function areaFrom(part: MeshPart, source: number): number {
  const picked: number[] = [];
  part.sourceTri.forEach((from, t) => {
    if (from === source) picked.push(...part.mesh.triangles.subarray(t * 3, t * 3 + 3));
  });
  return areaOf(meshOf(part.mesh.positions, Uint32Array.from(picked)));
}

/** Largest distance of the corners of a one-triangle mesh to the plane of triangle `source`. */
function distanceToTriangle(own: Mesh, mesh: Mesh, source: number): number {
  const corner = (from: Mesh, v: number): Vec3 => [...from.positions.subarray(v * 3, v * 3 + 3)] as unknown as Vec3;
  const [a, b, c] = [0, 1, 2].map((k) => corner(mesh, mesh.triangles[source * 3 + k]!)) as [Vec3, Vec3, Vec3];
  const minus = (p: Vec3, q: Vec3): Vec3 => [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
  const [u, w] = [minus(b, a), minus(c, a)];
  const n: Vec3 = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]];
  const size = Math.hypot(...n);
  return Math.max(
    ...[...own.triangles].map((v) => {
      const d = minus(corner(own, v), a);
      return Math.abs(d[0] * n[0] + d[1] * n[1] + d[2] * n[2]) / size;
    }),
  );
}

describe('planeAwayFromVerts', () => {
  const steps = meshOf(Float64Array.from([0, 1, 1.2, 2.2, 2.3].flatMap((z) => [0, 0, z])), new Uint32Array());
  it.each([
    { at: 1.1, slack: 0.8, offset: 1.7, kept: 0.5 },
    { at: 0.9, slack: 0.5, offset: 0.5, kept: 0.5 },
    { at: 1.1, slack: 0.05, offset: 1.1, kept: 0.1 },
    { at: 2.3, slack: 0.3, offset: 2.6, kept: 0.3 },
    { at: 9, slack: 1, offset: 10, kept: 7.7 },
  ])('from $at within $slack goes to $offset and keeps $kept', ({ at, slack, offset, kept }) => {
    const away = planeAwayFromVerts(steps, { normal: UP, offsetMm: at }, slack);
    expect(away.plane.offsetMm).toBeCloseTo(offset, 12);
    expect(away.keptMm).toBeCloseTo(kept, 12);
    expect(away.movedMm).toBeCloseTo(offset - at, 12);
  });
  it('stays where it is over an empty mesh', () => {
    const nothing = meshOf(new Float64Array(), new Uint32Array());
    expect(planeAwayFromVerts(nothing, { normal: UP, offsetMm: 3 }, 1).movedMm).toBe(0);
  });
});

describe('splitComponents', () => {
  it('gives each solid, in the order of first triangles, with its triangles and provenance', () => {
    const parts = splitComponents(wholePart(together(cube, ball(3, 12), box([20, 0, 0], [21, 1, 2]))));
    expect(parts.map((part) => volumeOf(part.mesh)).map((v) => Number(v.toFixed(6)))).toEqual([
      1000,
      Number(volumeOf(ball(3, 12)).toFixed(6)),
      2,
    ]);
    expect(parts.flatMap((part) => [...part.sourceTri])).toEqual([
      ...wholePart(together(cube, ball(3, 12), cube)).sourceTri,
    ]);
    for (const part of parts) expect(numBadEdges(part.mesh)).toBe(0);
  });
  it('keeps a hollow with the smallest solid around it', () => {
    const nest = together(insideOut(ball(2, 12)), ball(20, 16), insideOut(ball(10, 16)), ball(5, 12), cube);
    const moved = meshOf(
      nest.positions.map((p, i) => (i % 3 === 0 && i >= nest.positions.length - 24 ? p + 100 : p)),
      nest.triangles,
    );
    const volumes = splitComponents(wholePart(moved)).map((part) => volumeOf(part.mesh));
    const expected = [
      volumeOf(ball(5, 12)) - volumeOf(ball(2, 12)),
      volumeOf(ball(20, 16)) - volumeOf(ball(10, 16)),
      1000,
    ];
    expect(volumes.length).toBe(3);
    volumes.forEach((volume, i) => {
      expect(volume).toBeCloseTo(expected[i]!, 7);
    });
  });
  it('separates the halves that a cut makes', () => {
    const cut = split(ring(30, 8, 40, 20), { normal: [1, 0, 0], offsetMm: 20 });
    expect(splitComponents(cut.above).length).toBe(1);
    expect(splitComponents(split(ring(30, 8, 40, 20), { normal: [0, 0, 1], offsetMm: 0 }).above).length).toBe(1);
    const twice = split(cut.below.mesh, { normal: [-1, 0, 0], offsetMm: 20 });
    expect(splitComponents(twice.below).length).toBe(2);
  });
  it('gives nothing for nothing and the part itself when it is one', () => {
    expect(splitComponents(wholePart(meshOf(new Float64Array(), new Uint32Array())))).toEqual([]);
    const part = wholePart(cube);
    expect(splitComponents(part)).toEqual([part]);
  });
});
