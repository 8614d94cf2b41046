// The same over shells made by others, where they are at hand.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { weldSoup } from '../../src/mesh/weld.ts';
import { confusion, levelTurned } from '../support/turned-models.ts';

const SEED = 1901;
/** A minute or less on an idle machine. */
const TIMEOUT_MS = 900_000;
const SHELL = '../shared/reference/shell-50k.stl';
/** A respirator mask: worn with its large bowl towards the face, so front is -z of the file and the nose, at -y, is up. */
const MASK = '../shared/meshes/papr_large_mask/P-TET-000120-1 Large Mask.stl';
const SKULL = '../shared/meshes/skull/converted/skull.stl';

function load(path: string): Mesh {
  const read = readStl(new Uint8Array(readFileSync(path)));
  if (!read.ok) throw new Error(read.why);
  return weldSoup(read.value.corners).mesh;
}

describe.skipIf(!existsSync(SHELL))(`levelling of the shared shell, seed ${SEED} (skipped without ../shared)`, () => {
  it(
    'finds up and front in at least 98 of 100 turns',
    async () => {
      const verdicts = await levelTurned(load(SHELL), { up: [0, 0, 1], front: [0, 1, 0] }, { turns: 100, seed: SEED });
      console.info(confusion('shared shell', verdicts));
      expect(verdicts.wrong).toBeLessThanOrEqual(2);
      expect(verdicts.right).toBeGreaterThanOrEqual(90);
    },
    TIMEOUT_MS,
  );
});

describe.skipIf(!existsSync(MASK))(`levelling of foreign models, seed ${SEED} (skipped without ../shared)`, () => {
  it(
    'does not claim to know which way a face mask is worn',
    async () => {
      const verdicts = await levelTurned(load(MASK), { up: [0, -1, 0], front: [0, 0, -1] }, { turns: 100, seed: SEED });
      console.info(confusion('face mask', verdicts));
      expect(verdicts.wrong).toBeLessThanOrEqual(2);
    },
    TIMEOUT_MS,
  );

  it(
    'does not claim to know which way a skull stands',
    async () => {
      const verdicts = await levelTurned(load(SKULL), { up: [0, 1, 0], front: [0, 0, 1] }, { turns: 20, seed: SEED });
      console.info(confusion('skull', verdicts));
      expect(verdicts.wrong).toBe(0);
    },
    TIMEOUT_MS,
  );
});
