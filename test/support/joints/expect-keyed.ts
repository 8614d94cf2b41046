// What must hold of every keyed piece of a model: on a large and a small bed, divided as proposed.
import { expect, it } from 'vitest';
import type { Vec3 } from '../../../src/mesh/mesh.ts';
import { type SeamModelName, seamModel } from '../pieces/seam-models.ts';
import { keyedMeasures, keyedModel, keyedPieces, leastSkin, volumesOff } from './keyed-model.ts';

export interface KeyedCase {
  readonly bedMm: Vec3;
}

/** Farther off at the outer edge a default joint must not let its pieces be. */
const TRUE_MM = 0.3;
const SKIN_MM = 1.2;
/** On a machine that does other things besides. */
const LONG_MS = 600_000;

/** Declares the tests. One model is measured once for each case. */
export function expectKeyed(name: SeamModelName, cases: readonly KeyedCase[]): void {
  for (const { bedMm } of cases) {
    it(
      `${name} on a bed of ${bedMm.join(' x ')}: closed, fits as laid, true, whole, nothing lost`,
      async () => {
        const model = keyedModel(await seamModel(name), bedMm);
        for (const measure of keyedMeasures(model)) {
          expect(measure.badEdges, measure.piece).toBe(0);
          expect(measure.newCrossings, measure.piece).toBe(0);
          expect(measure.poses).toBeGreaterThan(0);
          expect(measure.overMm).toBeLessThan(1e-4);
        }
        for (const { seam, keys, play, skinMm, why } of model.keyed.joints) {
          expect(skinMm ?? SKIN_MM, seam).toBeGreaterThan(SKIN_MM - 1e-3);
          if (keys.length > 0) {
            expect(play!.held, seam).toBe(true);
            expect(play!.nominalMm, seam).toBeLessThanOrEqual(TRUE_MM);
            continue;
          }
          expect(why, seam).not.toBeNull();
          // told once with all such seams; B-C is not B-C.2
          const named = new RegExp(`\\b${seam}(?!\\.\\d)\\b`);
          expect(model.findings.filter(({ say }) => named.test(say)).map(({ code }) => code)).toContain('JOINT_NONE');
        }
        // the relief along outer edges begins at the outside, and its wedges touch each other
        const bare = keyedPieces(model, bedMm, { reliefMm: 0 });
        expect(leastSkin(bare) ?? SKIN_MM).toBeGreaterThan(SKIN_MM - 1e-3);
        for (const { piece, off } of volumesOff(bare)) expect(Math.abs(off), piece).toBeLessThan(1e-6);
      },
      LONG_MS,
    );
  }
}
