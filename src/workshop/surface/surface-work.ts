// The rounds as work: what is filled, primed, sanded and sprayed in which round, and what that comes to in packs, hands and days.
import type { PieceSurface, SurfaceReach, SurfaceRecord } from '../process/surface-record.ts';
import { type BenchHours, benchDays } from './bench-days.ts';
import { benchSteps } from './bench-steps.ts';
import { coatLayers } from './coats.ts';
import { outsidePatches, type Patch, seamPatches } from './patches.ts';
import { fillingMl, type RoundPlan, roundPlan } from './round-plan.ts';
import { shoppingList } from './shopping.ts';
import type { SurfaceSettings } from './surface-settings.ts';

type Work = Pick<
  SurfaceRecord,
  'rounds' | 'primedMm2' | 'fillingMl' | 'coats' | 'shopping' | 'steps' | 'piecesS' | 'days' | 'totals'
>;

/** Nothing when nothing is seen. */
export function surfaceWork(
  { pieces, seams, reach }: Pick<SurfaceRecord, 'pieces' | 'seams'> & { readonly reach: Pick<SurfaceReach, 'areaMm2'> },
  settings: SurfaceSettings,
  hours: BenchHours,
): Work {
  const plan = planOf(pieces, seamPatches(seams, reach.areaMm2, settings), settings);
  const coats = coatLayers(settings);
  const steps = benchSteps(plan, coats, settings);
  // without setting up: that is not a piece's own
  const bare = { ...settings, numbers: { ...settings.numbers, startMin: 0, cleanMin: 0 } };
  return {
    rounds: plan.rounds,
    primedMm2: plan.primedMm2,
    fillingMl: fillingMl(plan, settings),
    coats,
    shopping: shoppingList(plan, coats, settings),
    steps,
    piecesS: pieces.map((piece) => handsS(benchSteps(planOf([piece], [], settings), coats, bare))),
    days: benchDays(steps, hours),
    totals: {
      areaMm2: plan.areaMm2,
      handsOnS: handsS(steps),
      unattendedS: steps.reduce((sum, { unattendedS }) => sum + unattendedS, 0),
    },
  };
}

function planOf(pieces: readonly PieceSurface[], seams: readonly Patch[], settings: SurfaceSettings): RoundPlan {
  return roundPlan(
    outsidePatches(pieces, settings),
    seams,
    pieces.reduce((sum, { flareMm }) => sum + flareMm, 0),
  );
}

function handsS(steps: readonly { readonly handsOnS: number }[]): number {
  return steps.reduce((sum, { handsOnS }) => sum + handsOnS, 0);
}
