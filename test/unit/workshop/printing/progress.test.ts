// Progress rises, and cancelling at any tick stops the search for poses.
import { expect, it } from 'vitest';
import { Cancelled, type Work } from '../../../../src/base/work.ts';
import { poseBody } from '../../../../src/workshop/printing/pose-choice.ts';
import type { FittingPose } from '../../../../src/workshop/process/pieces-record.ts';
import { machine, searched } from '../../../support/pose-peer.ts';
import { sphere } from '../../../support/printing-shapes.ts';

const mesh = sphere(20, 60, 60);
const body = poseBody(mesh, new Uint8Array(mesh.triangles.length / 3));
const poses: FittingPose[] = [
  { machine: machine.id, toLaid: [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0], sizeMm: [40, 40, 40], lies: 'level' },
  { machine: machine.id, toLaid: [1, 0, 0, 0, -1, 0, 0, 0, -1, 0, 0, 40], sizeMm: [40, 40, 40], lies: 'level' },
];
const search = (work: Work) => searched(body, poses, work);

it('fractions never fall', () => {
  const seen: number[] = [];
  search({ seed: 1, tick: (fraction) => seen.push(fraction) });
  expect(seen.length).toBeGreaterThan(50);
  for (let i = 1; i < seen.length; i++) expect(seen[i]!).toBeGreaterThanOrEqual(seen[i - 1]! - 1e-12);
  expect(Math.max(...seen)).toBeLessThanOrEqual(1);
});

it('stops at the tick that cancels, wherever it comes', () => {
  for (const at of [1, 5, 20, 60]) {
    let count = 0;
    const work = {
      seed: 1,
      tick: () => {
        if (++count === at) throw new Cancelled();
      },
    };
    expect(() => search(work)).toThrow(Cancelled);
    expect(count).toBe(at);
  }
});
