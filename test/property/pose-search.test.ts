// The search for poses against thousands of even directions under the same full score, and against the poses that were handed on.
import { describe, expect, it } from 'vitest';
import { spiralDirections } from '../../src/geometry/sphere-directions.ts';
import type { Vec3 } from '../../src/mesh/mesh.ts';
import { bodyOf, fullScore, handedPoses, posedScore, searched } from '../support/pose-peer.ts';
import { poseShapes } from '../support/pose-shapes.ts';

/** All of them take a quarter of an hour: they are among the long checks. */
const NUM_DIRECTIONS = process.env.HELMWRIGHT_MODELS === 'all' ? 20_000 : 120;
/** How much better than the pose found another may be, as a share. */
const MOST_BETTER = 0.02;

describe(`five pieces, ${NUM_DIRECTIONS} directions`, () => {
  for (const shape of poseShapes())
    it(`${shape.name}: nothing is over 2 percent better, and no handed pose is better at all`, () => {
      const body = bodyOf(shape);
      const handed = handedPoses(shape);
      const best = searched(body, handed)[0]![0].scoreS;
      for (const pose of handed) expect(posedScore(body, pose)).toBeGreaterThanOrEqual(best * (1 - 1e-9));
      const ways = spiralDirections(NUM_DIRECTIONS);
      let least = Infinity;
      for (let i = 0; i < NUM_DIRECTIONS; i++) {
        const up: Vec3 = [ways[i * 3]!, ways[i * 3 + 1]!, ways[i * 3 + 2]!];
        least = Math.min(least, fullScore(body, up));
      }
      console.log(
        `pose of ${shape.name}: ${best.toFixed(0)} s, best of ${NUM_DIRECTIONS} directions ${least.toFixed(0)} s, ${((1 - least / best) * 100).toFixed(1)} percent better`,
      );
      expect(least).toBeGreaterThanOrEqual(best * (1 - MOST_BETTER));
    }, 3_600_000);
});
