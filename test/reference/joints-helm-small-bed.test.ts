// The helm with its keys on the small bed. Outside: volumes by the cutter of crossing triangles, skin by a library's tree; shared with no part of the keys.
import { describe } from 'vitest';
import { expectKeyed } from '../support/joints/expect-keyed.ts';

/** On the larger bed in the usual check; this takes minutes on a slow machine. */
const isLong = process.env.HELMWRIGHT_MODELS === 'all';

describe.skipIf(!isLong)('keyed pieces (npm run check:models)', () => {
  expectKeyed('helm', [{ bedMm: [180, 180, 180] }]);
});
