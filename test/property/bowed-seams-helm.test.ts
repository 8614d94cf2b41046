// Bowed seams on the Keeper's helm: they find the hoop of its crown and the lip of its eye opening.
import { describe, expect, it } from 'vitest';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { bowedByPlanes, costOfCuts, expectBowedLaws, expectPullable } from '../support/pieces/bowed-by-planes.ts';

const helm = demoModel('keepers-helm', { triangles: 50_000 });
const made = await bowedByPlanes(
  helm,
  {
    plane: { normal: [0, 0, 1], offsetMm: 200.02 },
    below: { plane: { normal: [0, 0, 1], offsetMm: 90.02 } },
  },
  0,
);

describe('the helm, cut level under the crown and under the eyes', () => {
  it('keeps the laws, and no cut is dearer than flat', () => expectBowedLaws(made));

  it('both seams bow, and cost a tenth less at least', () => {
    const flat = costOfCuts(made.flat, made.price);
    costOfCuts(made.bowed, made.price).forEach(({ costMm, bowMm }, cut) => {
      expect(bowMm).toBeGreaterThan(2);
      expect(bowMm).toBeLessThanOrEqual(12.01);
      expect(costMm).toBeLessThan(0.9 * flat[cut]!.costMm);
    });
  });

  it('is bowed as its own mirror image', () => {
    for (const { part } of made.bowed.parts) {
      const { positions } = part.mesh;
      let [low, high] = [Infinity, -Infinity];
      for (let i = 0; i < positions.length; i += 3) {
        low = Math.min(low, positions[i]!);
        high = Math.max(high, positions[i]!);
      }
      expect(Math.abs(low + high)).toBeLessThan(0.2);
    }
  });

  it('comes apart along the normals without touching', () => expectPullable(made));
});
