// Hours learnt from five prints, against the separate simulator, on pieces of the demo's helm: as laid by the program, and turned anyhow.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { cutPieces } from '../support/cut-pieces.ts';
import { JUDGED_MACHINE, JUDGED_PRINT, judged, judgedPieces, judgementWords } from '../support/judged-prints.ts';
import { kernelModule } from '../support/kernel.ts';
import { laidPiece } from '../support/laid-pieces.ts';

const SEED = 43;
/** Takes minutes. */
const isLong = process.env.HELMWRIGHT_MODELS === 'all';

describe.skipIf(!isLong)(`hours learnt from five prints of a helm, seed ${SEED} (npm run check:models)`, () => {
  for (const how of ['as laid', 'turned anyhow'] as const)
    it(how, async () => {
      const helm = demoModel('keepers-helm', { triangles: 30_000 });
      const cut = cutPieces(helm, randomStream(SEED), await kernelModule(), { count: 16, sideMm: [50, 110] });
      const pieces = how === 'as laid' ? cut.map((mesh) => laidPiece(mesh, JUDGED_MACHINE, JUDGED_PRINT)) : cut;
      const judgement = judged(await judgedPieces(pieces, SEED, 6), SEED, 10);
      console.info(`${how}: ${judgementWords(judgement)}`);
      expect(judgement.covered).toBeGreaterThanOrEqual(how === 'as laid' ? 0.9 : 0.85);
      if (how === 'as laid') expect(judgement.usualMost).toBeLessThan(0.08);
      expect(judgement.median).toBeLessThan(judgement.before.median / 2);
    }, 900_000);
});
