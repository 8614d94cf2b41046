// A good plan where there are too many things for the best one: prints in the order of their length, then many small changes.
import { randomStream } from '../../base/random.ts';
import { QUIET_WORK, type Work } from '../../base/work.ts';
import {
  type Counts,
  comparePlans,
  endOf,
  lostBy,
  type Plan,
  type PlannedLoad,
  type PlanProblem,
} from './plan-problem.ts';

/** Changes that are tried, for each thing and at most. */
const TRIES_A_THING = 1000;
const MOST_TRIES = 40_000;
/** From time to time a change for the worse is taken, this much of the end at first, falling to nothing: simulated annealing. */
const FIRST_SHARE = 0.02;

/** Method: longest first onto the machine that is done earliest (Graham 1969), then moves of one thing to another bed, of two things against each
 *  other, and of a bed to another place in the order, by simulated annealing (Kirkpatrick et al. 1983); docs/methods/bed-plan.md.
 *  Deterministic for a seed. Weak: nothing says how far from the best it is. Cost: O(tries x loads of a machine). */
export function planBySearch(problem: PlanProblem, work: Work = QUIET_WORK): Plan {
  const known = problem.loads.map((own) => new Map(own.map((load) => [load.counts.join(), load])));
  const random = randomStream(work.seed);
  let now = planOf(longestFirst(problem, known), problem);
  let best = now;
  const things = problem.counts.reduce((sum, count) => sum + count, 0);
  const most = Math.min(MOST_TRIES, TRIES_A_THING * things);
  for (let tries = 0; tries < most; tries++) {
    if ((tries & 255) === 0) work.tick(tries / most, 'planning the beds');
    const loads = changed(now.loads, known, random);
    if (loads === null) continue;
    const next = planOf(loads, problem);
    const worse = scoreOf(next, problem) - scoreOf(now, problem);
    const heat = FIRST_SHARE * (1 - tries / most) ** 2 * scoreOf(best, problem);
    if (worse > 0 && random() >= Math.exp(-worse / Math.max(1e-9, heat))) continue;
    now = next;
    if (comparePlans(now, best, problem.aim) < 0) best = now;
  }
  return best;
}

type Known = readonly ReadonlyMap<string, PlannedLoad>[];

interface Tried extends Plan {
  /** Of all machines. */
  readonly sumS: number;
}

function planOf(loads: readonly (readonly PlannedLoad[])[], problem: PlanProblem): Tried {
  const ends = loads.map((own) => endOf(own, problem));
  return {
    loads,
    endsS: Math.max(...ends),
    lostS: loads.reduce((sum, own) => sum + lostBy(own), 0),
    sumS: ends.reduce((sum, end) => sum + end, 0),
  };
}

/** What is minimised, with a little of everything else so that there is always a way down. */
function scoreOf({ endsS, lostS, sumS }: Tried, { aim }: PlanProblem): number {
  return aim === 'soonest' ? endsS + 0.01 * lostS + 0.001 * sumS : lostS + 0.01 * endsS + 0.001 * sumS;
}

function longestFirst(problem: PlanProblem, known: Known): PlannedLoad[][] {
  const plan: PlannedLoad[][] = known.map(() => []);
  const alone = (kind: number): string => problem.counts.map((_, other) => (other === kind ? 1 : 0)).join();
  const things = problem.counts.flatMap((count, kind) => Array.from({ length: count }, () => kind));
  const longest = (kind: number): number =>
    Math.max(...known.flatMap((loads) => loads.get(alone(kind))?.seconds ?? []));
  things.sort((one, other) => longest(other) - longest(one) || one - other);
  for (const kind of things) {
    let best: { readonly machine: number; readonly load: PlannedLoad; readonly endsS: number } | null = null;
    for (const [machine, loads] of known.entries()) {
      const load = loads.get(alone(kind));
      if (load === undefined) continue;
      const endsS = endOf([...plan[machine]!, load], problem);
      if (best === null || endsS < best.endsS) best = { machine, load, endsS };
    }
    if (best !== null) plan[best.machine]!.push(best.load);
  }
  return plan;
}

/** A random change, or null where it does not fit. */
function changed(now: Plan['loads'], known: Known, random: () => number): PlannedLoad[][] | null {
  const pick = (below: number): number => Math.floor(random() * below);
  const full = now.flatMap((own, machine) => own.map((_, index) => ({ machine, index })));
  const from = full[pick(full.length)]!;
  const load = now[from.machine]![from.index]!;
  const next = now.map((own) => [...own]);
  const way = random();
  if (way < 0.3) {
    next[from.machine]!.splice(from.index, 1);
    const machine = pick(now.length);
    const there = known[machine]!.get(load.counts.join());
    if (there === undefined) return null;
    next[machine]!.splice(pick(next[machine]!.length + 1), 0, there);
    return next;
  }
  const kinds = load.counts.flatMap((count, kind) => (count > 0 ? [kind] : []));
  const kind = kinds[pick(kinds.length)]!;
  if (way < 0.5) {
    const machine = pick(now.length);
    const alone = known[machine]!.get(load.counts.map((_, other) => (other === kind ? 1 : 0)).join());
    if (alone === undefined || !replace(next, known, { ...from, counts: plus(load.counts, kind, -1) })) return null;
    next[machine]!.splice(pick(next[machine]!.length + 1), 0, alone);
    return withoutEmpty(next);
  }
  const to = full[pick(full.length)]!;
  if (to.machine === from.machine && to.index === from.index) return null;
  const other = now[to.machine]![to.index]!;
  let [mine, theirs] = [plus(load.counts, kind, -1), plus(other.counts, kind, 1)];
  if (way >= 0.8) {
    const back = other.counts.flatMap((count, each) => (count > 0 ? [each] : []));
    const swap = back[pick(back.length)]!;
    [mine, theirs] = [plus(mine, swap, 1), plus(theirs, swap, -1)];
  }
  if (!replace(next, known, { ...to, counts: theirs })) return null;
  if (!replace(next, known, { ...from, counts: mine })) return null;
  return withoutEmpty(next);
}

function withoutEmpty(next: readonly (readonly PlannedLoad[])[]): PlannedLoad[][] {
  return next.map((own) => own.filter(({ counts }) => counts.some((count) => count > 0)));
}

function plus(counts: Counts, kind: number, more: number): number[] {
  return counts.map((count, other) => (other === kind ? count + more : count));
}

const NOTHING = (counts: Counts): PlannedLoad => ({ counts, seconds: 0, lostS: 0 });

/** Puts other things on a bed; false where the machine does not take them together. An emptied bed stays until the end of the change. */
function replace(
  next: PlannedLoad[][],
  known: Known,
  { machine, index, counts }: { readonly machine: number; readonly index: number; readonly counts: Counts },
): boolean {
  const load = counts.every((count) => count === 0) ? NOTHING(counts) : known[machine]!.get(counts.join());
  if (load === undefined) return false;
  next[machine]![index] = load;
  return true;
}
