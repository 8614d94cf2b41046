// Hours of ten pieces after five others were measured, against a separate move-by-move simulator on machines that hide what they do: their speeds,
// accelerations, pauses, a jerk limit, and prints that scatter. Pieces of a dome, laid on the best of six sides.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { cutPieces } from '../support/cut-pieces.ts';
import { JUDGED_MACHINE, JUDGED_PRINT, judged, judgedPieces, judgementWords } from '../support/judged-prints.ts';
import { kernelModule } from '../support/kernel.ts';
import { laidPiece } from '../support/laid-pieces.ts';
import { quickHelm } from '../support/quick-helm.ts';

const SEED = 41;
const cut = cutPieces(quickHelm(), randomStream(SEED), await kernelModule(), { count: 16, sideMm: [35, 80] });
const laid = cut.map((mesh) => laidPiece(mesh, JUDGED_MACHINE, JUDGED_PRINT));
const judgement = judged(await judgedPieces(laid, SEED, 6), SEED, 10);

describe(`hours of machines that hide what they do, seed ${SEED}: ${judgementWords(judgement)}`, () => {
  it('are off by less than 8 percent at most in the usual set of ten, and by 3 in the middle', () => {
    expect(judgement.usualMost).toBeLessThan(0.08);
    expect(judgement.median).toBeLessThan(0.03);
  });

  it('come out within the stated plus-minus nine times in ten, alone and all together', () => {
    expect(judgement.covered).toBeGreaterThanOrEqual(0.9);
    expect(judgement.setsCovered).toBeGreaterThanOrEqual(0.9);
  });

  it('are better than those of figures alone', () => {
    expect(judgement.median).toBeLessThan(judgement.before.median / 2);
    expect(judgement.most).toBeLessThan(judgement.before.most);
  });
});
