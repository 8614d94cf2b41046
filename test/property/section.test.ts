// Laws of sections: fast stack equals single planes, unchanged under rotation and scale, layers sum to the volume.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layerContours } from '../../src/geometry/layer-sweep.ts';
import { measureSection, planeSections, sectionByPlane } from '../../src/geometry/plane-section.ts';
import { twiceLoopArea } from '../../src/geometry/section-loops.ts';
import { type Mesh, meshOf, type Vec3 } from '../../src/mesh/mesh.ts';
import { ball, box, bumpyShell, insideOut, ring, together, volumeOf } from '../support/section-shapes.ts';

const SEED = 31;

/** Integer heights, so that many vertices lie exactly on planes. */
const stepped = (mesh: Mesh): Mesh =>
  meshOf(
    mesh.positions.map((p) => Math.round(p)),
    mesh.triangles,
  );

const meshes: [string, Mesh][] = [
  ['box', box([-3, -4, -5], [3, 4, 5])],
  ['ball with a hollow', together(ball(20, 24), insideOut(ball(15, 24)))],
  ['torus', ring(20, 6, 36, 18)],
  ['bowl with relief', bumpyShell(4000)],
  ['bowl with relief, vertices on planes', stepped(bumpyShell(4000))],
];

const unit = fc
  .tuple(fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: 0, max: 2 * Math.PI, noNaN: true }))
  .map(([z, turn]): Vec3 => [Math.sqrt(1 - z * z) * Math.cos(turn), Math.sqrt(1 - z * z) * Math.sin(turn), z]);
const normals = fc.oneof(unit, fc.constantFrom<Vec3>([0, 0, 1], [0, 1, 0], [1, 0, 0], [0, 0, -1]));

/** Turns about a unit axis (Rodrigues), then scales. */
function turnScale(p: Vec3, axis: Vec3, angle: number, scale: number): Vec3 {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const along = (axis[0] * p[0] + axis[1] * p[1] + axis[2] * p[2]) * (1 - c);
  return [
    scale * (p[0] * c + (axis[1] * p[2] - axis[2] * p[1]) * s + axis[0] * along),
    scale * (p[1] * c + (axis[2] * p[0] - axis[0] * p[2]) * s + axis[1] * along),
    scale * (p[2] * c + (axis[0] * p[1] - axis[1] * p[0]) * s + axis[2] * along),
  ];
}

describe.each(meshes)('sections of a %s', (_, mesh) => {
  it(`a stack equals its planes one by one, contours included (seed ${SEED})`, () => {
    fc.assert(
      fc.property(
        normals,
        fc.oneof(fc.integer({ min: -25, max: 5 }), fc.double({ min: -25, max: 5, noNaN: true })),
        fc.constantFrom(0.5, 1, 2, 1.7),
        (normal, firstMm, stepMm) => {
          const options = { firstMm, stepMm, normal, numLayers: 12 };
          const layers = planeSections(mesh, options);
          const drawn = [...layerContours(mesh, options)];
          for (let k = 0; k < 12; k++) {
            const one = sectionByPlane(mesh, { normal, offsetMm: layers.heightsMm[k]! });
            const size = 1 + one.lengthMm;
            expect(Math.abs(layers.areaMm2[k]! - one.areaMm2) / size).toBeLessThan(1e-9);
            expect(Math.abs(layers.lengthMm[k]! - one.lengthMm) / size).toBeLessThan(1e-9);
            expect([layers.numSegments[k], layers.numLoops[k]]).toEqual([one.numSegments, one.loops.length]);
            const { points, loopStart } = drawn[k]!;
            let twice = 0;
            for (let i = 0; i + 1 < loopStart.length; i++)
              twice += twiceLoopArea(points.subarray(loopStart[i]! * 2, loopStart[i + 1]! * 2));
            expect(Math.abs(twice / 2 - one.areaMm2) / size).toBeLessThan(1e-9);
          }
        },
      ),
      { seed: SEED, numRuns: 40 },
    );
  });

  it(`turned and scaled with its plane, the section is the same (seed ${SEED})`, () => {
    fc.assert(
      fc.property(
        fc.record({
          normal: unit,
          axis: unit,
          angle: fc.double({ min: -3, max: 3, noNaN: true }),
          scale: fc.double({ min: 0.1, max: 10, noNaN: true }),
          at: fc.double({ min: -14, max: 14, noNaN: true }),
        }),
        ({ normal, axis, angle, scale, at }) => {
          const positions = new Float64Array(mesh.positions.length);
          for (let i = 0; i < positions.length; i += 3) {
            const p = [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!] as const;
            positions.set(turnScale(p, axis, angle, scale), i);
          }
          const before = measureSection(mesh, { normal, offsetMm: at });
          const after = measureSection(meshOf(positions, mesh.triangles), {
            normal: turnScale(normal, axis, angle, 1),
            offsetMm: at * scale,
          });
          const size = 1 + before.lengthMm;
          expect(Math.abs(after.areaMm2 / scale ** 2 - before.areaMm2) / size).toBeLessThan(1e-8);
          expect(Math.abs(after.lengthMm / scale - before.lengthMm) / size).toBeLessThan(1e-8);
        },
      ),
      { seed: SEED, numRuns: 100 },
    );
  });

  it('fine layers sum to the volume', () => {
    const stepMm = 0.05;
    const { areaMm2 } = planeSections(mesh, { firstMm: -160 + 0.513 * stepMm, stepMm });
    const sum = areaMm2.reduce((total, value) => total + value, 0) * stepMm;
    expect(Math.abs(sum / volumeOf(mesh) - 1)).toBeLessThan(2e-3);
  });
});
