// Nothing protrudes below a face that prints down; where a better pose and a thinner key disagree, the cheaper of both is taken.
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../../../src/mesh/mesh.ts';
import { type KeySide, keySides } from '../../../../../src/workshop/pieces/joints/key-sides.ts';
import { downIn, reachesDown } from '../../../../../src/workshop/process/key-reach.ts';
import type { FittingPose } from '../../../../../src/workshop/process/pieces-record.ts';

const UPRIGHT = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0];
const OVER = [1, 0, 0, 0, -1, 0, 0, 0, -1, 0, 0, 0];
const ON_SIDE = [0, 0, 1, 0, 1, 0, -1, 0, 0, 0, 0, 0];

function pose(toLaid: readonly number[]): FittingPose {
  return { machine: 'm', toLaid, sizeMm: [1, 1, 1], lies: 'level' };
}

/** One level seam: `low` below it, `high` above. */
function sideOf(low: readonly (readonly number[])[], high: readonly (readonly number[])[], banned: string[] = []) {
  const pieces = [
    { id: 'low', poses: low.map(pose) },
    { id: 'high', poses: high.map(pose) },
  ];
  const seams = [{ pieces: ['low', 'high'] as const, plane: { normal: [0, 0, 1] as Vec3, offsetMm: 0 } }];
  return keySides(pieces, seams, (_seam, piece) => banned.includes(piece));
}

describe('key sides', () => {
  it.each<[string, (readonly number[])[], (readonly number[])[], KeySide]>([
    ['the upper piece stands on the face', [UPRIGHT], [UPRIGHT], 'first'],
    ['the lower piece lies on it, turned over', [OVER], [OVER], 'second'],
    ['both lie on it', [OVER], [UPRIGHT], 'neither'],
    ['neither does', [UPRIGHT], [OVER], 'both'],
    ['both lie on their sides', [ON_SIDE], [ON_SIDE], 'both'],
  ])('when %s', (_name, low, high, side) => {
    expect(sideOf(low, high).sides).toEqual([side]);
  });

  it('takes a pose a place worse for keys that need no loose part', () => {
    const { sides, downs } = sideOf([OVER, UPRIGHT], [UPRIGHT]);
    expect(sides).toEqual(['first']);
    expect(downs[0]).toEqual(downIn(UPRIGHT));
  });

  it('takes no worse pose for keys that are only a little thinner', () => {
    expect(sideOf([UPRIGHT], [UPRIGHT, OVER]).sides).toEqual(['first']);
  });

  it('leaves out a piece that may carry nothing', () => {
    expect(sideOf([UPRIGHT], [UPRIGHT], ['low']).sides).toEqual(['neither']);
    expect(sideOf([UPRIGHT], [OVER], ['low']).sides).toEqual(['second']);
  });

  it('knows what reaches down', () => {
    expect(reachesDown(UPRIGHT, [0, 0, -1])).toBe(true);
    expect(reachesDown(UPRIGHT, [1, 0, 0])).toBe(false);
    expect(reachesDown(ON_SIDE, downIn(ON_SIDE))).toBe(true);
  });
});
