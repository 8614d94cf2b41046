// The shell put together again, by the meshes of its pieces. Outside: depths by a library's tree of boxes and exact crossings of edges.
import { describe } from 'vitest';
import { expectReplayed } from '../support/joints/expect-replayed.ts';
import { keyedModel } from '../support/joints/keyed-model.ts';
import { hasSharedMeshes, seamModel } from '../support/pieces/seam-models.ts';

/** With the helm in the usual check; this takes minutes. */
const isAsked = process.env.HELMWRIGHT_MODELS === 'all' && hasSharedMeshes;

describe.skipIf(!isAsked)(
  'assembling the shell, replayed (npm run check:models; skipped when ../shared is not there)',
  async () => {
    if (isAsked) expectReplayed(keyedModel(await seamModel('shell'), [220, 220, 250]));
  },
);
