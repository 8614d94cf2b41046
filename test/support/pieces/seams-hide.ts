// What must hold of the seams on one model and bed, for files that each take a model: judged by the evaluator alone.
import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { roomOf, type Size } from '../seam-evaluator/fit.ts';
import { type PricedModel, pricedModel } from '../seam-evaluator/priced-model.ts';
import { bestGrids, betterGrid } from '../seam-evaluator/uniform-grid.ts';
import { HAND, handDivisions, ownDivision } from './seam-comparison.ts';
import { hasSharedMeshes, type SeamModel, type SeamModelName, seamModel } from './seam-models.ts';

export interface SeamsDemand {
  readonly bedMm: Size;
  /** Percent of the better grid's cost. */
  readonly most: number;
  /** Percent that was asked for and is not reached; the day it is, its test says so. */
  readonly unreached?: number;
  readonly pieces: 'no more than the grid' | 'fewer than the grid';
}

const hasShells = existsSync('../shared/reference');

/** Describes the seams of a model on some beds. Skipped where the model is not there. */
export function describeSeams(name: SeamModelName, demands: readonly SeamsDemand[]): void {
  const isThere = name === 'helm' || (name === 'shell' ? hasShells : hasSharedMeshes);
  describe.skipIf(!isThere)(`seams of the ${name} hide (skipped without its file)`, () => {
    let prepared: Promise<{ model: SeamModel; priced: PricedModel }> | undefined;
    const prepare = () => {
      prepared ??= seamModel(name).then((model) => ({ model, priced: pricedModel(model.mesh) }));
      return prepared;
    };

    it.each(demands)('on $bedMm: $pieces, at most $most percent of its cost', async ({ bedMm, most, pieces }) => {
      const { model, priced } = await prepare();
      const grid = betterGrid(bestGrids(priced, roomOf(bedMm)));
      const ours = await ownDivision(priced, model, { bedMm });
      expect(ours.badEdges).toBe(0);
      expect(ours.crossings).toBe(0);
      expect(ours.volumeOff).toBeLessThan(1e-6);
      expect(ours.standsOutMm).toBeLessThan(1e-4);
      expect(ours.pieces).toBeLessThanOrEqual(pieces === 'fewer than the grid' ? grid.pieces - 1 : grid.pieces);
      expect((100 * ours.costMm) / grid.costMm).toBeLessThanOrEqual(most);
      // the book's own figure: another exposure, other rays, the same lines
      expect(Math.abs(ours.saidCostMm / ours.costMm - 1)).toBeLessThan(0.15);
    });

    it.fails.each(demands.filter(({ unreached }) => unreached !== undefined))(
      'on $bedMm: $unreached percent were asked for and are not reached, see docs/methods/seam-evaluator.md',
      async ({ bedMm, unreached }) => {
        const { model, priced } = await prepare();
        const grid = betterGrid(bestGrids(priced, roomOf(bedMm)));
        const ours = await ownDivision(priced, model, { bedMm, crossings: 'leave' });
        expect((100 * ours.costMm) / grid.costMm).toBeLessThanOrEqual(unreached!);
      },
    );

    it.each(demands)(`on $bedMm: the divisions set by hand (${HAND.date}) fit`, async ({ bedMm }) => {
      const { priced } = await prepare();
      const hands = handDivisions(priced, name, bedMm);
      expect(hands.length).toBe(2);
      for (const { pieces } of hands) for (const { fits } of pieces) expect(fits).toBe(true);
    });
  });
}
