// The best plan there is: every way to share beds, machines and orders, by what is left to print.
import { invariant } from '../../base/invariant.ts';
import { QUIET_WORK, type Work } from '../../base/work.ts';
import { comparePlans, type Plan, type PlannedLoad, type PlanProblem } from './plan-problem.ts';

/** A way to have printed some things on one machine: when it ends and what it loses; none with the same things is better in both. */
interface Way {
  readonly endsS: number;
  readonly lostS: number;
  readonly load: PlannedLoad | null;
  readonly before: Way | null;
}

/** The same for the first few machines together. */
interface Shared {
  readonly endsS: number;
  readonly lostS: number;
  readonly own: Way;
  readonly before: Shared | null;
}

/** Steps that `planExactly` takes, about: few enough under a million. */
export function stepsExactly({ counts, loads }: PlanProblem): number {
  const states = counts.reduce((product, count) => product * (count + 1), 1);
  const pairs = counts.reduce((product, count) => (product * (count + 1) * (count + 2)) / 2, 1);
  return states * loads.reduce((sum, own) => sum + own.length, 0) + pairs * Math.max(0, loads.length - 1);
}

/** No plan is better under the aim, then under the other measure.
 *  Method: dynamic programming over what has been printed, for each machine by its last load, then over the machines; all ways are kept that no other beats
 *  in both measures. Exact because a later end never lets the next print start earlier. Source: Held & Karp 1962 for the order, here with sets as steps;
 *  docs/methods/bed-plan.md. Cost: see stepsExactly, each step times the few ways kept. */
export function planExactly(problem: PlanProblem, work: Work = QUIET_WORK): Plan {
  const { counts, loads, aim } = problem;
  const strides: number[] = [];
  let states = 1;
  for (const count of counts) {
    strides.push(states);
    states *= count + 1;
  }
  const digits = Array.from({ length: states }, (_, state) =>
    counts.map((count, kind) => Math.floor(state / strides[kind]!) % (count + 1)),
  );
  const indexOf = (of: readonly number[]): number => of.reduce((sum, count, kind) => sum + count * strides[kind]!, 0);
  let shared: Shared[][] | null = null;
  for (const [machine, own] of loads.entries()) {
    const steps = own.map((load) => ({ load, index: indexOf(load.counts) }));
    const ways = waysOf(problem, steps, digits);
    const isLast = machine === loads.length - 1;
    shared = together(shared, ways, { digits, indexOf, isLast, work, done: machine / loads.length });
  }
  const best = shared![states - 1]!.reduce((one, other) => (comparePlans(other, one, aim) < 0 ? other : one));
  invariant(best !== undefined, 'every kind lies alone on one machine at least');
  const plan: PlannedLoad[][] = [];
  for (let at: Shared | null = best; at !== null; at = at.before) {
    const sequence: PlannedLoad[] = [];
    for (let way: Way | null = at.own; way !== null; way = way.before)
      if (way.load !== null) sequence.unshift(way.load);
    plan.unshift(sequence);
  }
  return { loads: plan, endsS: best.endsS, lostS: best.lostS };
}

type Digits = readonly (readonly number[])[];

/** For each state the ways to print just that on one machine; none where it cannot. */
function waysOf(
  { firstStartS, nextStart }: PlanProblem,
  steps: readonly { readonly load: PlannedLoad; readonly index: number }[],
  digits: Digits,
): Way[][] {
  const ways: Way[][] = digits.map(() => []);
  ways[0] = [{ endsS: 0, lostS: 0, load: null, before: null }];
  for (let state = 1; state < digits.length; state++)
    for (const { load, index } of steps) {
      if (index > state || !holds(digits[state]!, load.counts)) continue;
      for (const before of ways[state - index]!) {
        const startS = before.load === null ? firstStartS : nextStart(before.endsS);
        keepBest(ways[state]!, { endsS: startS + load.seconds, lostS: before.lostS + load.lostS, load, before });
      }
    }
  return ways;
}

function together(
  others: readonly (readonly Shared[])[] | null,
  ways: readonly (readonly Way[])[],
  by: {
    readonly digits: Digits;
    readonly indexOf: (of: readonly number[]) => number;
    readonly isLast: boolean;
    readonly work: Work;
    readonly done: number;
  },
): Shared[][] {
  const { digits, indexOf, isLast, work, done } = by;
  if (others === null)
    return ways.map((own) => own.map((way) => ({ endsS: way.endsS, lostS: way.lostS, own: way, before: null })));
  const shared: Shared[][] = digits.map(() => []);
  for (let state = isLast ? digits.length - 1 : 0; state < digits.length; state++) {
    work.tick(done, 'planning the beds');
    for (const part of partsOf(digits[state]!)) {
      const here = indexOf(part);
      for (const own of ways[here]!)
        for (const before of others[state - here]!)
          keepBest(shared[state]!, {
            endsS: Math.max(before.endsS, own.endsS),
            lostS: before.lostS + own.lostS,
            own,
            before,
          });
    }
  }
  return shared;
}

function holds(have: readonly number[], need: readonly number[]): boolean {
  for (let kind = 0; kind < need.length; kind++) if (need[kind]! > have[kind]!) return false;
  return true;
}

/** Every part of a state, itself and nothing included. */
function* partsOf(state: readonly number[]): Generator<number[], void, void> {
  const part = state.map(() => 0);
  for (;;) {
    yield part;
    let kind = 0;
    while (kind < part.length && part[kind] === state[kind]) part[kind++] = 0;
    if (kind === part.length) return;
    part[kind]!++;
  }
}

/** Adds what none of the list beats in both measures, and takes out what it beats. */
function keepBest<T extends { readonly endsS: number; readonly lostS: number }>(list: T[], one: T): void {
  for (const other of list) if (other.endsS <= one.endsS && other.lostS <= one.lostS) return;
  let kept = 0;
  for (const other of list) if (other.endsS < one.endsS || other.lostS < one.lostS) list[kept++] = other;
  list.length = kept;
  list.push(one);
}
