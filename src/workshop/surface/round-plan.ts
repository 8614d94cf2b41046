// What each round is about: what is filled in it, what is primed, and what all of the filling comes to.
import type { SurfaceRecord } from '../process/surface-record.ts';
import { areaOf, type Patch } from './patches.ts';
import type { SurfaceSettings } from './surface-settings.ts';

export interface RoundPlan {
  /** Layer lines and marks of support: all of the outside. */
  readonly outside: readonly Patch[];
  readonly seams: readonly Patch[];
  readonly rounds: number;
  readonly areaMm2: number;
  /** Primed in each round; the first one is all. */
  readonly primedMm2: readonly number[];
  readonly flareMm: number;
}

export function roundPlan(outside: readonly Patch[], seams: readonly Patch[], flareMm: number): RoundPlan {
  const all = [...outside, ...seams];
  const rounds = Math.max(1, ...all.map((one) => one.rounds));
  const areaMm2 = areaOf(outside);
  const primedMm2 = Array.from({ length: rounds }, (_, i) =>
    i === 0 ? areaMm2 : Math.min(areaMm2, areaOf(all.filter((one) => one.rounds > i))),
  );
  return { outside, seams, rounds, areaMm2, primedMm2, flareMm };
}

/** What is sanded before anything is filled: all of it; for a stage only what stands out more than may stay. */
export function sandedBare({ outside }: RoundPlan, { target }: SurfaceSettings): readonly Patch[] {
  return target === 'stage' ? outside.filter(({ isRough }) => isRough) : outside;
}

/** What is sanded once a round, from 1, is primed: in the first all of it, for a stage of that only what needs a round; later what needs the round, seams too. */
export function sandedPrimed(plan: RoundPlan, round: number, { target }: SurfaceSettings): readonly Patch[] {
  if (round === 1) return target === 'stage' ? plan.outside.filter(({ rounds }) => rounds > 0) : plan.outside;
  return [...plan.outside, ...plan.seams].filter(({ rounds }) => rounds >= round);
}

/** What is filled in a round, from 1, before it is primed. */
export function filledIn(plan: RoundPlan, round: number, { rings }: SurfaceSettings): readonly Patch[] {
  const isFilled = ({ of }: Patch): boolean => of !== 'lines' || rings !== 'primer';
  return [...plan.outside, ...plan.seams].filter((one) => one.rounds >= round && isFilled(one));
}

/** Of seams and marks of support: laid on proud and with what stays on the knife, and what is left of it when it is sanded level. */
export function fillingMl({ outside, seams }: RoundPlan, { numbers }: SurfaceSettings): SurfaceRecord['fillingMl'] {
  const filled = [...outside, ...seams].filter(({ fillMm3 }) => fillMm3 > 0);
  const stays = filled.reduce((sum, { fillMm3 }) => sum + fillMm3, 0);
  return { laid: ((stays + areaOf(filled) * numbers.proudMm) * numbers.wasteTimes) / 1000, left: stays / 1000 };
}
