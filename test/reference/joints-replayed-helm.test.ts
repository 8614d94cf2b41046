// The helm put together again, by the meshes of its pieces. Outside: depths by a library's tree of boxes and exact crossings of edges.
import { describe } from 'vitest';
import { expectReplayed } from '../support/joints/expect-replayed.ts';
import { keyedModel } from '../support/joints/keyed-model.ts';
import { seamModel } from '../support/pieces/seam-models.ts';

describe('assembling the helm, replayed', async () => {
  expectReplayed(keyedModel(await seamModel('helm'), [220, 220, 250]));
});
