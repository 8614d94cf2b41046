// A shell turned any way is set upright again, or the chapter says that it is not sure.
import { describe, expect, it } from 'vitest';
import { type StandInKind, standInHelm } from '../support/stand-in-helm.ts';
import { confusion, levelTurned } from '../support/turned-models.ts';

const SEED = 20261125;
/** A minute or less on an idle machine. */
const TIMEOUT_MS = 900_000;
const TRUTH = { up: [0, 0, 1], front: [0, 1, 0] } as const;

describe(`levelling of made shells turned at random, seed ${SEED}`, () => {
  it(
    'finds up and front of a dome with a pod on one side in at least 98 of 100 turns',
    async () => {
      const verdicts = await levelTurned(await standInHelm('pod and vents'), TRUTH, { turns: 100, seed: SEED });
      console.info(confusion('dome with pod and vents', verdicts));
      expect(verdicts.wrong).toBeLessThanOrEqual(2);
      expect(verdicts.right).toBeGreaterThanOrEqual(90);
    },
    TIMEOUT_MS,
  );

  const clear: readonly StandInKind[] = ['slot', 'two eyes'];
  it.each(clear)(
    'knows a dome with this face: %s',
    async (kind) => {
      const verdicts = await levelTurned(await standInHelm(kind), TRUTH, { turns: 12, seed: SEED });
      console.info(confusion(kind, verdicts));
      expect(verdicts.wrong).toBe(0);
      expect(verdicts.right).toBeGreaterThanOrEqual(11);
    },
    TIMEOUT_MS,
  );

  const doubtful: readonly StandInKind[] = [
    'no face',
    'open face',
    'long brim',
    'window larger than neck',
    'round bowl',
  ];
  it.each(doubtful)(
    'never claims a wrong way for what is hard to tell: %s',
    async (kind) => {
      const verdicts = await levelTurned(await standInHelm(kind), TRUTH, { turns: 12, seed: SEED });
      console.info(confusion(kind, verdicts));
      expect(verdicts.wrong).toBe(0);
    },
    TIMEOUT_MS,
  );
});
