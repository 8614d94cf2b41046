// Every plan there is, tried one by one: every way to part things into loads, every machine for each, every order. For small cases only.
import type { PlanProblem } from '../../../src/workshop/beds/plan-problem.ts';

/** The earliest end and what that plan loses; among plans that end as early, the one that loses least; the other way round for `surest`. */
export function bestOfEveryPlan(problem: PlanProblem): { readonly endsS: number; readonly lostS: number } {
  const things = problem.counts.flatMap((count, kind) => Array.from({ length: count }, () => kind));
  let best = { endsS: Infinity, lostS: Infinity };
  for (const parts of partitions(things)) {
    const loads = parts.map((part) => problem.counts.map((_, kind) => part.filter((each) => each === kind).length));
    for (const machines of choices(loads.length, problem.loads.length)) {
      const sequences = problem.loads.map((own, machine) => {
        const taken = loads.filter((_, i) => machines[i] === machine);
        return taken.map((counts) => own.find((load) => load.counts.join() === counts.join()));
      });
      if (sequences.some((sequence) => sequence.includes(undefined))) continue;
      const ends = sequences.map((sequence) =>
        Math.min(...orders(sequence).map((order) => endOfOrder(order, problem))),
      );
      const lostS = sequences.flat().reduce((sum, load) => sum + load!.lostS, 0);
      const plan = { endsS: Math.max(...ends), lostS };
      const [a, b] = problem.aim === 'soonest' ? (['endsS', 'lostS'] as const) : (['lostS', 'endsS'] as const);
      if (plan[a] < best[a] - 1e-6 || (Math.abs(plan[a] - best[a]) <= 1e-6 && plan[b] < best[b])) best = plan;
    }
  }
  return best;
}

function endOfOrder(order: readonly (PlanProblem['loads'][0][0] | undefined)[], problem: PlanProblem): number {
  let time = -1;
  for (const load of order) time = (time < 0 ? problem.firstStartS : problem.nextStart(time)) + load!.seconds;
  return Math.max(0, time);
}

function partitions(things: readonly number[]): number[][][] {
  if (things.length === 0) return [[]];
  const [first, ...rest] = things as [number, ...number[]];
  return partitions(rest).flatMap((parts) => [
    [[first], ...parts],
    ...parts.map((_, i) => parts.map((part, j) => (i === j ? [first, ...part] : part))),
  ]);
}

function choices(num: number, of: number): number[][] {
  if (num === 0) return [[]];
  return choices(num - 1, of).flatMap((rest) => Array.from({ length: of }, (_, one) => [one, ...rest]));
}

function orders<T>(items: readonly T[]): T[][] {
  if (items.length <= 1) return [[...items]];
  return items.flatMap((item, i) => orders(items.filter((_, j) => j !== i)).map((rest) => [item, ...rest]));
}
