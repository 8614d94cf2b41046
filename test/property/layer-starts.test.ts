// Laws of layer starts for any body, lying any way.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { contourStarts } from '../../src/geometry/contour-starts.ts';
import { sectionByPlane } from '../../src/geometry/plane-section.ts';
import { type Mesh, numTris } from '../../src/mesh/mesh.ts';
import { invertTransform, type Transform } from '../../src/mesh/transform.ts';
import type { LayerStarts, StartKind } from '../../src/workshop/process/surface-record.ts';
import { layerStarts } from '../../src/workshop/surface/layer-starts.ts';
import { blob } from '../support/print-blob.ts';
import { turnedAboutZ } from '../support/printing-shapes.ts';

const SEED = 20261130;
const RUNS = { seed: SEED, numRuns: 60 };

const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const body = fc.record({
  radiusMm: mm(10, 60),
  waves: fc.array(fc.tuple(mm(0.02, 0.1), mm(0, 6)), { minLength: 1, maxLength: 3 }),
  chance: fc.integer({ min: 1, max: 1e9 }),
});
type Body = typeof body extends fc.Arbitrary<infer T> ? T : never;
const meshFor = ({ radiusMm, waves }: Body): Mesh => blob(radiusMm, waves, 14);

/** Turned about the vertical by `deg` against the model. */
function turnedBy(deg: number): Transform {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return invertTransform([c, s, 0, -s, c, 0, 0, 0, 1, 0, 0, 0]);
}

function run(of: Body, kind: StartKind, deg: number): LayerStarts {
  const mesh = meshFor(of);
  const num = numTris(mesh);
  const sourceTri = Int32Array.from({ length: num }, (_, t) => (Math.imul(t + 3, of.chance) % 7 === 0 ? -1 : t));
  const seen = Uint8Array.from({ length: num }, (_, t) => Math.abs(Math.imul(t + 1, of.chance)) % 256);
  return layerStarts(turnedAboutZ(mesh, deg), { sourceTri }, { toModel: turnedBy(deg), seen, kind }, QUIET_WORK);
}

describe(`layer starts, seed ${SEED}`, () => {
  it('turn with the piece', () => {
    fc.assert(
      fc.property(body, fc.integer({ min: 1, max: 35 }), fc.constantFrom('hidden', 'back'), (of, tens, kind) => {
        const [a, b] = [run(of, kind, 0), run(of, kind, 10 * tens)];
        expect(Math.cos(((b.bedDeg! - a.bedDeg! - 10 * tens) * Math.PI) / 180)).toBeCloseTo(1, 9);
        expect(b.trackMm).toBeCloseTo(a.trackMm, 6);
        expect(b.seamMm).toBeCloseTo(a.seamMm, 6);
        expect(b.seenMm).toBeCloseTo(a.seenMm, 6);
        expect(b.costMm).toBeCloseTo(a.costMm, 6);
        // the lines are in the space of the helm, and stay where they were
        expect(b.lines.length).toBe(a.lines.length);
        for (const [i, line] of b.lines.entries())
          for (const [k, v] of line.entries()) expect(Math.abs(v - a.lines[i]![k]!)).toBeLessThan(1e-4);
      }),
      RUNS,
    );
  });

  it('are never seen more where they are hidden than at the back', () => {
    fc.assert(
      fc.property(body, mm(0, 360), (of, deg) => {
        const [hidden, back] = [run(of, 'hidden', deg), run(of, 'back', deg)];
        expect(hidden.costMm).toBeLessThanOrEqual(back.costMm + 1e-9);
        for (const { trackMm, seamMm, seenMm, costMm } of [hidden, back]) {
          expect(seamMm + seenMm).toBeLessThanOrEqual(trackMm + 1e-9);
          expect(costMm).toBeLessThanOrEqual(seamMm + seenMm + 1e-9);
        }
      }),
      RUNS,
    );
  });

  it('lie farther their way than any other point of the section at their height', () => {
    fc.assert(
      fc.property(body, mm(0, 360), (of, deg) => {
        const mesh = meshFor(of);
        const { numContours, heightMm, pointsMm } = contourStarts(mesh, [deg], 5, QUIET_WORK);
        expect(numContours).toBeGreaterThan(2);
        const a = ((deg + 0.06) * Math.PI) / 180;
        const along = (x: number, y: number): number => x * Math.cos(a) + y * Math.sin(a);
        for (let i = 0; i < numContours; i++) {
          const { outlines } = sectionByPlane(mesh, { normal: [0, 0, 1], offsetMm: heightMm[i]! });
          const most = Math.max(
            ...outlines.flatMap((line) =>
              Array.from({ length: line.length / 3 }, (_, k) => along(line[3 * k]!, line[3 * k + 1]!)),
            ),
          );
          expect(along(pointsMm[2 * i]!, pointsMm[2 * i + 1]!)).toBeCloseTo(most, 6);
        }
      }),
      { seed: SEED, numRuns: 20 },
    );
  });
});
