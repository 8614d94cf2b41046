// The boot with its keys. Outside: volumes by the cutter of crossing triangles, skin by a library's tree; shared with no part of the keys.
import { describe } from 'vitest';
import { expectKeyed } from '../support/joints/expect-keyed.ts';
import { hasSharedMeshes } from '../support/pieces/seam-models.ts';

/** With the helm in the usual check; these take minutes. */
const isLong = process.env.HELMWRIGHT_MODELS === 'all';

describe.skipIf(!hasSharedMeshes || !isLong)(
  'keyed pieces (npm run check:models; skipped when ../shared is not there)',
  () => {
    expectKeyed('boot', [{ bedMm: [220, 220, 250] }, { bedMm: [180, 180, 180] }]);
  },
);
