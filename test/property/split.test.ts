// Laws of cutting on many planes: through the middle, through vertices, along faces, and again after rounding for files.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import type { Plane } from '../../src/geometry/plane.ts';
import { sectionByPlane } from '../../src/geometry/plane-section.ts';
import { type MeshPart, splitByPlane } from '../../src/geometry/plane-split.ts';
import { roundToSingle } from '../../src/geometry/round-to-single.ts';
import { splitComponents } from '../../src/geometry/split-components.ts';
import { type Mesh, meshOf, type Vec3 } from '../../src/mesh/mesh.ts';
import { testKernel } from '../support/kernel.ts';
import {
  areaOf,
  ball,
  box,
  bumpyShell,
  insideOut,
  numBadEdges,
  ring,
  together,
  volumeOf,
} from '../support/section-shapes.ts';

const SEED = 20260;
const { triangulate } = await testKernel();

const AXES: readonly Vec3[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
  [-1, 0, 0],
  [0, -1, 0],
  [0, 0, -1],
];

/** Vertex heights of a random kind: anywhere, exactly at a vertex, exactly at a vertex across an axis. */
function planeFor(mesh: Mesh, random: () => number, kind: number): Plane {
  const z = 2 * random() - 1;
  const turn = 2 * Math.PI * random();
  const r = Math.sqrt(1 - z * z);
  const normal: Vec3 = kind === 2 ? AXES[Math.floor(random() * 6)]! : [r * Math.cos(turn), r * Math.sin(turn), z];
  const v = Math.floor((random() * mesh.positions.length) / 3) * 3;
  const [x, y, h] = [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
  const at = normal[0] * x + normal[1] * y + normal[2] * h;
  return { normal, offsetMm: kind === 0 ? at * random() + random() : at };
}

const meshes: [string, Mesh][] = [
  ['box', box([0, 0, 0], [10, 20, 30])],
  ['ball', ball(50, 32)],
  ['torus', ring(50, 12, 32, 16)],
  ['ball with a hollow, and a box', together(ball(20, 24), insideOut(ball(15, 24)), box([30, -5, -5], [40, 5, 5]))],
  ['bowl with relief', bumpyShell(3000)],
];

describe.each(meshes)('200 cuts of a %s', (_, mesh) => {
  const volume = volumeOf(mesh);
  const area = areaOf(mesh);
  const random = randomStream(SEED);
  const cuts = Array.from({ length: 200 }, (_, i) => {
    const plane = planeFor(mesh, random, i % 3);
    const made = splitByPlane(mesh, plane, { triangulate });
    if (!made.ok) throw new Error(`${made.why} ${JSON.stringify(plane)}`);
    return { plane, cut: made.value };
  });

  it(`closed sides, volumes sum, areas grow by two cut faces, cut face equals section (seed ${SEED})`, () => {
    for (const { plane, cut } of cuts) {
      const where = JSON.stringify(plane);
      const { below, above } = cut;
      expect(numBadEdges(below.mesh) + numBadEdges(above.mesh), where).toBe(0);
      expect(Math.abs(volumeOf(below.mesh) + volumeOf(above.mesh) - volume) / volume, where).toBeLessThan(1e-9);
      const grown = areaOf(below.mesh) + areaOf(above.mesh) - area;
      expect(Math.abs(grown - 2 * cut.capAreaMm2) / area, where).toBeLessThan(1e-9);
      const section = sectionByPlane(mesh, plane);
      expect(Math.abs(section.areaMm2 - cut.capAreaMm2) / area, where).toBeLessThan(1e-9);
      expect(Math.abs(section.lengthMm - cut.seamMm) / (1 + cut.seamMm), where).toBeLessThan(1e-9);
    }
  });

  it(`after rounding: closed, volume within 1e-6, no needle, provenance of known triangles (seed ${SEED})`, () => {
    for (const { plane, cut } of cuts)
      for (const part of [cut.below, cut.above].flatMap(splitComponents)) {
        const where = JSON.stringify(plane);
        const single = roundToSingle(part.mesh, part.sourceTri);
        expect(single.numBadEdges + numBadEdges(single.mesh), where).toBe(0);
        expect(single.numNeedles, where).toBe(0);
        expect(Math.abs(volumeOf(single.mesh) - volumeOf(part.mesh)) / volume, where).toBeLessThan(1e-6);
        expect(single.sourceTri.length).toBe(single.mesh.triangles.length / 3);
      }
  });
});

it(`components of random boxes are the boxes (seed ${SEED})`, () => {
  fc.assert(
    fc.property(fc.uniqueArray(fc.integer({ min: 0, max: 30 }), { minLength: 1, maxLength: 8 }), (places) => {
      const mesh = together(...places.map((at) => box([at * 10, 0, 0], [at * 10 + 1 + at / 7, 2, 3])));
      const sourceTri = Int32Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t);
      const parts: MeshPart[] = splitComponents({ mesh, sourceTri });
      expect(parts.length).toBe(places.length);
      parts.forEach((part, i) => {
        expect(volumeOf(part.mesh)).toBeCloseTo(6 * (1 + places[i]! / 7), 9);
      });
    }),
    { seed: SEED, numRuns: 100 },
  );
});

it(`rounding grains of random sizes and places keeps every edge twice (seed ${SEED})`, () => {
  const grain = fc.record({
    exponent: fc.integer({ min: -9, max: 1 }),
    at: fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 3, maxLength: 3 }),
  });
  fc.assert(
    fc.property(fc.array(grain, { minLength: 1, maxLength: 6 }), (grains) => {
      const mesh = together(
        ...grains.map(({ exponent, at }) => {
          const one =
            exponent % 2 === 0 ? ball(10 ** exponent, 8) : ring(10 ** exponent, 9.9 * 10 ** (exponent - 1), 6, 5);
          return meshOf(
            one.positions.map((p, i) => p + 100 + at[i % 3]! * 1e-5),
            one.triangles,
          );
        }),
      );
      const single = roundToSingle(mesh);
      expect(single.numBadEdges).toBe(0);
      expect(numBadEdges(single.mesh)).toBe(0);
    }),
    { seed: SEED, numRuns: 300 },
  );
});
