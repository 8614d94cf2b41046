// What is to be planned, apart from pieces and beds: things to print, which of them a machine takes at once and for how long, and when it may start.

/** How many of each kind, one number a kind. */
export type Counts = readonly number[];

/** Some of the things, printed together. */
export interface PlannedLoad {
  readonly counts: Counts;
  readonly seconds: number;
  /** Lost in the mean, to failures and hands. */
  readonly lostS: number;
}

export interface PlanProblem {
  readonly counts: Counts;
  /** For each machine what it can take at once. Every kind lies alone on one machine at least. */
  readonly loads: readonly (readonly PlannedLoad[])[];
  readonly firstStartS: number;
  /** When the next print starts on a machine whose last ended then. Never earlier for a later end. */
  readonly nextStart: (endS: number) => number;
  readonly aim: 'soonest' | 'surest';
}

export interface Plan {
  /** For each machine, in their order. */
  readonly loads: readonly (readonly PlannedLoad[])[];
  readonly endsS: number;
  readonly lostS: number;
}

/** When the last of these ends, printed one after the other. */
export function endOf(loads: readonly PlannedLoad[], { firstStartS, nextStart }: PlanProblem): number {
  let end: number | null = null;
  for (const { seconds } of loads) end = (end === null ? firstStartS : nextStart(end)) + seconds;
  return end ?? 0;
}

export function lostBy(loads: readonly PlannedLoad[]): number {
  return loads.reduce((sum, { lostS }) => sum + lostS, 0);
}

/** Rounding of sums in another order, seconds. */
const EPSILON_S = 1e-6;

/** Below 0 when the first is better. */
export function comparePlans(
  one: Pick<Plan, 'endsS' | 'lostS'>,
  other: Pick<Plan, 'endsS' | 'lostS'>,
  aim: PlanProblem['aim'],
): number {
  const ends = one.endsS - other.endsS;
  const lost = one.lostS - other.lostS;
  const [first, second] = aim === 'soonest' ? [ends, lost] : [lost, ends];
  return Math.abs(first) > EPSILON_S ? first : Math.abs(second) > EPSILON_S ? second : 0;
}
