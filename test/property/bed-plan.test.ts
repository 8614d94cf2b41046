// The plan of beds beside every plan there is, on small random cases with nights; and what more hands or machines may never do.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planBySearch } from '../../src/workshop/beds/plan-by-search.ts';
import { planExactly } from '../../src/workshop/beds/plan-exactly.ts';
import type { PlannedLoad, PlanProblem } from '../../src/workshop/beds/plan-problem.ts';
import { endOf } from '../../src/workshop/beds/plan-problem.ts';
import { handsFrom, type WakingHours } from '../../src/workshop/beds/waking.ts';
import { bestOfEveryPlan } from '../support/beds/every-plan.ts';

const SEED = 5;
const HANDS_S = 900;

interface Case {
  readonly counts: readonly number[];
  /** Hours of each kind alone. */
  readonly hours: readonly number[];
  /** Saved by each thing more on one bed. */
  readonly savedH: number;
  /** What a bed holds, in shares of it, for each machine. */
  readonly room: readonly number[];
  readonly size: readonly number[];
  readonly waking: WakingHours;
  readonly startsH: number;
  readonly aim: 'soonest' | 'surest';
}

const quarter = (least: number, most: number) =>
  fc.integer({ min: least * 4, max: most * 4 }).map((quarters) => quarters / 4);

const cases = (mostThings: number): fc.Arbitrary<Case> =>
  fc.integer({ min: 1, max: 3 }).chain((kinds) =>
    fc.record({
      counts: fc
        .array(fc.integer({ min: 1, max: 3 }), { minLength: kinds, maxLength: kinds })
        .map((counts) => counts.map((count) => Math.max(1, Math.min(count, Math.floor(mostThings / kinds))))),
      hours: fc.array(quarter(1, 30), { minLength: kinds, maxLength: kinds }),
      savedH: quarter(0, 0.75),
      room: fc.array(quarter(1, 3), { minLength: 1, maxLength: 2 }),
      size: fc.array(quarter(0.5, 1), { minLength: kinds, maxLength: kinds }),
      waking: fc.record({ wakingFromH: quarter(0, 12), wakingToH: quarter(14, 24) }),
      startsH: quarter(0, 24),
      aim: fc.constantFrom<('soonest' | 'surest')[]>('soonest', 'surest'),
    }),
  );

function problemOf({ counts, hours, savedH, room, size, waking, startsH, aim }: Case): PlanProblem {
  const sets = counts.reduce<number[][]>(
    (sofar, count) => sofar.flatMap((set) => Array.from({ length: count + 1 }, (_, n) => [...set, n])),
    [[]],
  );
  const loads = room.map((most, machine): PlannedLoad[] =>
    sets.flatMap((set) => {
      const num = set.reduce((sum, n) => sum + n, 0);
      const used = set.reduce((sum, n, kind) => sum + n * size[kind]!, 0);
      if (num === 0 || used > most) return [];
      const long = set.reduce((sum, n, kind) => sum + n * hours[kind]!, 0) - (num - 1) * savedH;
      const seconds = 3600 * Math.max(0.25, long) * (1 + 0.1 * machine);
      return [{ counts: set, seconds, lostS: HANDS_S + seconds ** 2 / 360_000 }];
    }),
  );
  return {
    counts,
    loads,
    aim,
    firstStartS: handsFrom(3600 * startsH, 0, waking),
    nextStart: (endS) => handsFrom(endS, HANDS_S, waking) + HANDS_S,
  };
}

describe(`the plan of beds (seed ${SEED})`, () => {
  it('is the best of every plan there is', () => {
    fc.assert(
      fc.property(cases(5), (each) => {
        const problem = problemOf(each);
        const plan = planExactly(problem);
        const best = bestOfEveryPlan(problem);
        expect(plan.endsS).toBeCloseTo(best.endsS, 4);
        expect(plan.lostS).toBeCloseTo(best.lostS, 4);
        // it is a plan: everything is printed once, and it ends when it says
        const printed = plan.loads.flat().reduce(
          (sums, { counts }) => sums.map((sum, kind) => sum + counts[kind]!),
          each.counts.map(() => 0),
        );
        expect(printed).toEqual(each.counts);
        expect(Math.max(...plan.loads.map((own) => endOf(own, problem)))).toBeCloseTo(plan.endsS, 6);
      }),
      { seed: SEED, numRuns: 250 },
    );
  });

  it('never ends later with more waking hours, nor with one more machine', () => {
    fc.assert(
      fc.property(cases(6), quarter(0, 4), quarter(0, 4), (each, earlier, later) => {
        const soonest = { ...each, aim: 'soonest' as const };
        const { endsS } = planExactly(problemOf(soonest));
        const { wakingFromH, wakingToH } = each.waking;
        const wider = {
          wakingFromH: Math.max(0, wakingFromH - earlier),
          wakingToH: Math.min(24, wakingToH + later),
        };
        const awake = problemOf({ ...soonest, waking: wider });
        expect(planExactly(awake).endsS).toBeLessThanOrEqual(endsS + 1e-6);
        const more = problemOf({ ...soonest, room: [...each.room, 1.5] });
        expect(planExactly(more).endsS).toBeLessThanOrEqual(endsS + 1e-6);
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('searched for, is a plan, never better than the best, and seldom more than a tenth worse', () => {
    let [tried, far] = [0, 0];
    fc.assert(
      fc.property(cases(5), (each) => {
        const problem = problemOf({ ...each, aim: 'soonest' });
        const found = planBySearch(problem);
        const best = planExactly(problem);
        const printed = found.loads.flat().reduce(
          (sums, { counts }) => sums.map((sum, kind) => sum + counts[kind]!),
          each.counts.map(() => 0),
        );
        expect(printed).toEqual(each.counts);
        expect(found.endsS).toBeGreaterThanOrEqual(best.endsS - 1e-6);
        tried++;
        if (found.endsS > 1.1 * best.endsS) far++;
      }),
      { seed: SEED, numRuns: 40 },
    );
    expect(far / tried).toBeLessThanOrEqual(0.1);
  });
});
