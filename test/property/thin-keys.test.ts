// Laws of keys in thin walls on random pipes and bowls: sound, clear by the clearance, free on the way in, skin left.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { unit } from '../../src/geometry/three-by-three.ts';
import { keySites, sitePlaces } from '../../src/workshop/pieces/joints/key-sites.ts';
import { type ThinKind, thinKeys, thinRooms } from '../../src/workshop/pieces/joints/thin-keys.ts';
import { expectSound, fitOf } from '../support/pieces/key-checks.ts';
import { cutBowl, cutPipe } from '../support/pieces/walled-shapes.ts';

const SEED = 612;

test(`seed ${SEED}`, () => {
  let keys = 0;
  fc.assert(
    fc.property(
      fc.record({
        kind: fc.constantFrom<ThinKind>('tabs', 'laps', 'strips'),
        heldBy: fc.constantFrom('stops', 'pocket'),
        carriers: fc.constantFrom(0, 1),
        shape: fc.constantFrom(cutPipe, cutBowl),
        wallMm: fc.double({ min: 2.2, max: 6.5, noNaN: true }),
        tilt: fc.tuple(
          fc.double({ min: -0.4, max: 0.4, noNaN: true }),
          fc.double({ min: -0.4, max: 0.4, noNaN: true }),
        ),
        clearanceMm: fc.double({ min: 0.1, max: 0.4, noNaN: true }),
        thickMm: fc.double({ min: 1.2, max: 3, noNaN: true }),
        reachMm: fc.double({ min: 5, max: 10, noNaN: true }),
        widthMm: fc.double({ min: 8, max: 18, noNaN: true }),
      }),
      ({ kind, heldBy, carriers, shape, wallMm, tilt, widthMm, ...sizes }) => {
        const form = { ...sizes, skinMm: 1.2 };
        const { sections, ground } = shape(wallMm, { normal: unit([tilt[0], tilt[1], 1]), offsetMm: 41.3 });
        const [section] = sections;
        const rooms = thinRooms(kind, widthMm, form);
        const { sites } = keySites(sitePlaces(section!, ground, { rooms }), 120, []);
        const about = { kind, heldBy, carriers: carriers as 0 | 1, pieces: section!.seam.pieces, ground } as const;
        const [key] = thinKeys(sites.slice(0, 1), form, about);
        if (key === undefined) return;
        keys++;
        expectSound(key);
        const fit = fitOf(key, ground);
        expect(fit.inside).toBe(0);
        expect(fit.onTheWayMm).toBeGreaterThan(form.clearanceMm - 0.02);
        expect(fit.seatedMm).toBeLessThan(form.clearanceMm + 0.06);
        expect(fit.skinMm).toBeGreaterThan(form.skinMm);
      },
    ),
    { seed: SEED, numRuns: 14 },
  );
  expect(keys).toBeGreaterThan(6);
});
