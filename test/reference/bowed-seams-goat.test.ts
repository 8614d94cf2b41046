// Bowed seams on an open model, a solid goat's head: wide faces that hang between the folds the seam follows.
import { describe, expect, it } from 'vitest';
import { bowedByPlanes, costOfCuts, expectBowedLaws, expectPullable } from '../support/pieces/bowed-by-planes.ts';
import { hasSharedMeshes, seamModel } from '../support/pieces/seam-models.ts';

describe.skipIf(!hasSharedMeshes)('the goat head of 300 mm, cut level', async () => {
  if (!hasSharedMeshes) return;
  const { mesh } = await seamModel('goat');
  const made = await bowedByPlanes(mesh, { plane: { normal: [0, 0, 1], offsetMm: 60 } }, null);

  it('keeps the laws, and the cut is not dearer than flat', () => expectBowedLaws(made));

  it('bows to a fold', () => {
    const [flat] = costOfCuts(made.flat, made.price);
    const [bowed] = costOfCuts(made.bowed, made.price);
    expect(bowed!.bowMm).toBeGreaterThan(5);
    expect(bowed!.costMm).toBeLessThan(0.92 * flat!.costMm);
  });

  it('comes apart along the normal without touching', () => expectPullable(made));
});
