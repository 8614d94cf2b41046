// The helm with its keys. Outside: volumes by the cutter of crossing triangles, skin by a library's tree; shared with no part of the keys.
import { describe } from 'vitest';
import { expectKeyed } from '../support/joints/expect-keyed.ts';

describe('keyed pieces', () => {
  expectKeyed('helm', [{ bedMm: [220, 220, 250] }]);
});
