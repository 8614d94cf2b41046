// The rounds as work: what is filled, primed, sanded and sprayed in which round, and what that comes to in packs, hands and days.
import type { PieceSurface, SurfaceReach, SurfaceRecord } from '../process/surface-record.ts';
import { benchSteps, leastElapsedS } from './bench-steps.ts';
import { coatLayers } from './coats.ts';
import { outsidePatches, type Patch, seamPatches } from './patches.ts';
import { fillingMl, type RoundPlan, roundPlan } from './round-plan.ts';
import { shoppingList } from './shopping.ts';
import type { SurfaceSettings } from './surface-settings.ts';

type Work = Pick<
  SurfaceRecord,
  'rounds' | 'primedMm2' | 'fillingMl' | 'coats' | 'shopping' | 'steps' | 'piecesS' | 'totals'
>;

/** Nothing when nothing is seen. */
export function surfaceWork(
  { pieces, seams, reach }: Pick<SurfaceRecord, 'pieces' | 'seams'> & { readonly reach: Pick<SurfaceReach, 'areaMm2'> },
  settings: SurfaceSettings,
): Work {
  const plan = planOf(pieces, seamPatches(seams, reach.areaMm2, settings));
  const coats = coatLayers(settings);
  const steps = benchSteps(plan, coats, settings);
  // without setting up: that is not a piece's own
  const bare = { ...settings, numbers: { ...settings.numbers, startMin: 0 } };
  return {
    rounds: plan.rounds,
    primedMm2: plan.primedMm2,
    fillingMl: fillingMl(plan, settings),
    coats,
    shopping: shoppingList(plan, coats, settings),
    steps,
    piecesS: pieces.map((piece) => handsS(benchSteps(planOf([piece], []), coats, bare))),
    totals: {
      areaMm2: plan.areaMm2,
      handsOnS: handsS(steps),
      unattendedS: steps.reduce((sum, { unattendedS }) => sum + unattendedS, 0),
      elapsedS: leastElapsedS(steps),
    },
  };
}

function planOf(pieces: readonly PieceSurface[], seams: readonly Patch[]): RoundPlan {
  return roundPlan(
    outsidePatches(pieces),
    seams,
    pieces.reduce((sum, { flareMm }) => sum + flareMm, 0),
  );
}

function handsS(steps: readonly { readonly handsOnS: number }[]): number {
  return steps.reduce((sum, { handsOnS }) => sum + handsOnS, 0);
}
