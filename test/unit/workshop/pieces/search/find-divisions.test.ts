// Divisions found with a crew are, byte for byte, those found without.
import { afterAll, describe, expect, it } from 'vitest';
import { Cancelled, QUIET_WORK, type Work } from '../../../../../src/base/work.ts';
import { bowl } from '../../../../../src/mesh/builders.ts';
import { NOTHING_ASKED } from '../../../../../src/workshop/pieces/asked/asked-at-size.ts';
import { PiecesSettings } from '../../../../../src/workshop/pieces/pieces-settings.ts';
import type { Division } from '../../../../../src/workshop/pieces/search/division-search.ts';
import { findDivisions } from '../../../../../src/workshop/pieces/search/find-divisions.ts';
import { PROPOSAL_NAMES } from '../../../../../src/workshop/pieces/search/proposal-aims.ts';
import { type SampledShell, sampledShell, taskOf } from '../../../../../src/workshop/pieces/search/shell-task.ts';
import { builtCrew } from '../../../../support/crew.ts';

const built = builtCrew();
afterAll(() => built.close());

const mesh = bowl({ outerMm: 100, wallMm: 3 }, 24);
const settings = {
  ...PiecesSettings.parse({ beds: [{ id: 'bed', bedMm: [190, 190, 190] }], beamWidth: 1 }),
  demands: NOTHING_ASKED,
  scale: 1,
};

function found(work: Work) {
  const sampled = sampledShell(mesh, settings, work, { aimNum: 1200 });
  const task = taskOf(sampled, { normal: [1, 0, 0], offsetMm: 0 }, settings);
  return { sampled, ...findDivisions(task, work) };
}

/** Everything that is known of a division, parts and all. */
function bytesOf(value: SampledShell | readonly Division[]): string {
  return JSON.stringify(value, (_, one) => (ArrayBuffer.isView(one) ? [...(one as Uint8Array)] : one));
}

describe('divisions found', () => {
  const alone = found(QUIET_WORK);

  it('divide the shell', () => {
    for (const name of PROPOSAL_NAMES) expect(alone.best[name][0]!.leaves.length).toBeGreaterThan(1);
  });

  it.each([0, 1, 3])('are the same with %i more threads', (numThreads) => {
    const crewed = found({ ...QUIET_WORK, crew: built.open(numThreads) });
    expect(bytesOf(crewed.sampled)).toBe(bytesOf(alone.sampled));
    expect([crewed.planesTried, crewed.divisions]).toEqual([alone.planesTried, alone.divisions]);
    for (const name of PROPOSAL_NAMES) expect(bytesOf(crewed.best[name])).toBe(bytesOf(alone.best[name]));
  });

  it('can be cancelled at any time', () => {
    const crew = built.open(1);
    for (const last of [3, 40, 160]) {
      let ticks = 0;
      const tick = () => {
        if (++ticks === last) throw new Cancelled();
      };
      expect(() => found({ seed: 1, tick, crew })).toThrow(Cancelled);
    }
  });
});
