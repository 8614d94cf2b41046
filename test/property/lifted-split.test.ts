// Laws of cutting by a surface lifted over a plane, on smooth lifts of a random kind.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { selfCrossings } from '../../src/geometry/crossings/self-crossings.ts';
import { type Plane, planeFrame } from '../../src/geometry/plane.ts';
import { liftAwayFromVerts } from '../../src/geometry/plane-away.ts';
import { vertHeights } from '../../src/geometry/plane-crossing.ts';
import { splitByPlane } from '../../src/geometry/plane-split.ts';
import { faceSlope, outlineCrossings } from '../../src/geometry/pull-apart.ts';
import { type Mesh, NONE, type Vec3 } from '../../src/mesh/mesh.ts';
import { testKernel } from '../support/kernel.ts';
import {
  areaOf,
  ball,
  bumpyShell,
  insideOut,
  numBadEdges,
  ring,
  together,
  volumeOf,
} from '../support/section-shapes.ts';

const SEED = 5150;
const NUM = 25;
const { triangulate } = await testKernel();

/** Waves over the plane, at most `mostMm` high and `slope` steep, and its height at a point. */
function wavesOver(plane: Plane, random: () => number, by: { mostMm: number; slope: number }) {
  const { u, v } = planeFrame(plane.normal);
  const waves = Array.from({ length: 3 }, () => {
    const turn = 2 * Math.PI * random();
    const heightMm = (by.mostMm / 3) * random();
    const perMm = Math.min(0.12, by.slope / 3 / Math.max(heightMm, 1e-9)) * random();
    return { x: Math.cos(turn) * perMm, y: Math.sin(turn) * perMm, heightMm, phase: 7 * random() };
  });
  return (p: ArrayLike<number>, i: number): number => {
    const a = p[i]! * u[0] + p[i + 1]! * u[1] + p[i + 2]! * u[2];
    const b = p[i]! * v[0] + p[i + 1]! * v[1] + p[i + 2]! * v[2];
    return waves.reduce((sum, w) => sum + w.heightMm * Math.sin(w.x * a + w.y * b + w.phase), 0);
  };
}

function randomPlane(random: () => number): Plane {
  const z = 2 * random() - 1;
  const turn = 2 * Math.PI * random();
  const r = Math.sqrt(1 - z * z);
  return { normal: [r * Math.cos(turn), r * Math.sin(turn), z], offsetMm: 20 * (random() - 0.5) };
}

function sortedFaces(mesh: Mesh, sourceTri: Int32Array, turn: 0 | 1): string[] {
  const out: string[] = [];
  for (let tri = 0; tri < sourceTri.length; tri++) {
    if (sourceTri[tri]! > NONE) continue;
    const corners = [0, 1, 2].map((c) => {
      const at = mesh.triangles[tri * 3 + c]! * 3;
      return [...mesh.positions.subarray(at, at + 3)].join(',');
    });
    if (turn === 1) corners.reverse();
    const first = corners.indexOf([...corners].sort()[0]!);
    out.push([0, 1, 2].map((k) => corners[(first + k) % 3]!).join(' '));
  }
  return out.sort();
}

/** Across a wall the face is ruled and crosses nothing; a face as wide as the torus is thick may dip through the surface beside it,
 *  which is for whoever asks for the cut to look at. */
const meshes: [string, Mesh, 'wall' | 'thick'][] = [
  ['torus', ring(60, 20, 120, 40), 'thick'],
  ['ball with a hollow', together(ball(60, 96), insideOut(ball(50, 96))), 'wall'],
  ['bowl with relief', bumpyShell(20000), 'wall'],
];
const SLOPE = 1;

describe.each(meshes)(`${NUM} lifted cuts of a %s (seed ${SEED})`, (_, mesh, kind) => {
  const volume = volumeOf(mesh);
  const area = areaOf(mesh);
  const random = randomStream(SEED);
  const cuts = Array.from({ length: NUM }, () => {
    const plane = randomPlane(random);
    const over = wavesOver(plane, random, { mostMm: 10, slope: SLOPE });
    const heights = vertHeights(mesh.positions, plane.normal, plane.offsetMm);
    const lift = liftAwayFromVerts(
      heights,
      heights.map((__, v) => over(mesh.positions, v * 3)),
      0.002,
    );
    const made = splitByPlane(mesh, plane, { triangulate, lift });
    if (!made.ok) throw new Error(`${made.why} ${JSON.stringify(plane)}`);
    return { plane, over, cut: made.value };
  });

  it('closed sides, volumes sum, areas grow by two cut faces', () => {
    for (const { plane, cut } of cuts) {
      const where = JSON.stringify(plane);
      expect(numBadEdges(cut.below.mesh) + numBadEdges(cut.above.mesh), where).toBe(0);
      const sum = volumeOf(cut.below.mesh) + volumeOf(cut.above.mesh);
      expect(Math.abs(sum - volume) / volume, where).toBeLessThan(1e-9);
      const grown = areaOf(cut.below.mesh) + areaOf(cut.above.mesh) - area;
      expect(Math.abs(grown - 2 * cut.capAreaMm2) / area, where).toBeLessThan(1e-9);
    }
  });

  it('both sides carry the same face to the bit, turned round', () => {
    for (const { cut } of cuts.slice(0, 6)) {
      const under = sortedFaces(cut.below.mesh, cut.below.sourceTri, 0);
      expect(under).toEqual(sortedFaces(cut.above.mesh, cut.above.sourceTri, 1));
    }
  });

  it('the face follows the lift, is one height over the plane and crosses nothing', () => {
    for (const { plane, over, cut } of cuts) {
      const where = JSON.stringify(plane);
      for (const outline of cut.caps.flatMap((cap) => cap.outlines)) {
        const heights = vertHeights(outline, plane.normal, plane.offsetMm);
        for (let i = 0; i < heights.length; i++)
          expect(Math.abs(heights[i]! - over(outline, i * 3)), where).toBeLessThan(0.4);
      }
      expect(outlineCrossings(cut.caps.flatMap((cap) => cap.loops)), where).toEqual([]);
      const slopes = faceSlope(cut.below, NONE, { normal: plane.normal, leastMm2: 1e-3, mostSlope: 3 * SLOPE });
      expect(slopes.areaMm2).toBeCloseTo(cut.capAreaMm2, 6);
      expect(slopes.tooSteep, where).toEqual([]);
      expect(slopes.steepest, where).toBeLessThanOrEqual(3 * SLOPE);
    }
    for (const { plane, cut } of kind === 'wall' ? cuts.slice(0, 8) : [])
      for (const side of [cut.below, cut.above]) expect(selfCrossings(side.mesh).pairs, JSON.stringify(plane)).toBe(0);
  });
});

it('a lift of nothing cuts as the plane does', () => {
  const mesh = bumpyShell(3000);
  const plane: Plane = { normal: [0, 0.6, 0.8], offsetMm: 12 };
  const flat = splitByPlane(mesh, plane, { triangulate });
  const none = splitByPlane(mesh, plane, { triangulate, lift: new Float64Array(mesh.positions.length / 3) });
  if (!flat.ok || !none.ok) throw new Error('a plane that can be cut by was refused');
  expect(none.value.below.mesh.positions).toEqual(flat.value.below.mesh.positions);
  expect(none.value.capAreaMm2).toBeCloseTo(flat.value.capAreaMm2, 8);
});

it('tells an outline that crosses itself, and a face that turns over', () => {
  expect(outlineCrossings([Float64Array.from([0, 0, 4, 0, 4, 4, 0, 4])])).toEqual([]);
  expect(outlineCrossings([Float64Array.from([0, 0, 4, 4, 4, 0, 0, 4])])).toEqual([2, 2]);
  const square = Float64Array.from([0, 0, 4, 0, 4, 4, 0, 4]);
  expect(outlineCrossings([square, square.map((value, i) => value + (i % 2 === 0 ? 2 : 1))])).toHaveLength(4);
  const up: Vec3 = [0, 0, 1];
  const face = (z: number) => ({
    mesh: {
      kind: 'mesh' as const,
      positions: Float64Array.from([0, 0, 0, 1, 0, z, 0, 1, 0]),
      triangles: Uint32Array.of(0, 1, 2),
    },
    sourceTri: Int32Array.of(NONE),
  });
  expect(faceSlope(face(0.5), NONE, { normal: up, leastMm2: 1e-6, mostSlope: 1 }).steepest).toBeCloseTo(0.5, 12);
  expect(faceSlope(face(0), NONE, { normal: [0, 0, -1], leastMm2: 1e-6, mostSlope: 1 })).toEqual({
    steepest: Infinity,
    areaMm2: 0.5,
    tooSteep: [1 / 3, 1 / 3, 0],
  });
});
