// Hours learnt from five prints, against the separate simulator, on pieces of the demo's helm: as laid by the program, and turned anyhow.
import { beforeAll, describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { cutPieces } from '../support/cut-pieces.ts';
import {
  JUDGED_MACHINE,
  JUDGED_PRINT,
  type Judgement,
  judged,
  judgedPieces,
  judgementWords,
} from '../support/judged-prints.ts';
import { kernelModule } from '../support/kernel.ts';
import { laidPiece } from '../support/laid-pieces.ts';

const SEED = 43;
/** Takes minutes. */
const isLong = process.env.HELMWRIGHT_MODELS === 'all';

describe.skipIf(!isLong)(`hours learnt from five prints of a helm, seed ${SEED} (npm run check:models)`, () => {
  for (const how of ['as laid', 'turned anyhow'] as const)
    describe(how, () => {
      let judgement: Judgement;
      beforeAll(async () => {
        const helm = demoModel('keepers-helm', { triangles: 30_000 });
        const cut = cutPieces(helm, randomStream(SEED), await kernelModule(), { count: 16, sideMm: [50, 110] });
        const pieces = how === 'as laid' ? cut.map((mesh) => laidPiece(mesh, JUDGED_MACHINE, JUDGED_PRINT)) : cut;
        judgement = judged(await judgedPieces(pieces, SEED, 6), SEED, 10);
        process.stdout.write(`${how}: ${judgementWords(judgement)}\n`);
      }, 900_000);

      it('are better than half as far off as those of figures alone', () => {
        expect(judgement.median).toBeLessThan(judgement.before.median / 2);
        expect(judgement.most).toBeLessThan(judgement.before.most);
      });

      // What is aimed at and not reached on pieces so unlike each other; docs/methods/measured-prints.md says what holds it back.
      it.fails('are off by less than 8 percent at most in the usual set of ten', () => {
        expect(judgement.usualMost).toBeLessThan(0.08);
      });
      const reached = how === 'turned anyhow' ? it : it.fails;
      reached('come out within the stated plus-minus nine times in ten', () => {
        expect(judgement.covered).toBeGreaterThanOrEqual(0.9);
      });
    });
});
