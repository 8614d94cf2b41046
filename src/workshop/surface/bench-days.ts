// On which day each step can begin at the earliest, when hands sleep at night and coats keep their windows.
import type { Step } from '../process/step.ts';

/** Hours of the day, 0 to 24. Hands rest from `toH` to `fromH`; where `toH` is not later, until that hour of the next day. */
export interface BenchHours {
  readonly startsH: number;
  readonly fromH: number;
  readonly toH: number;
}

export interface BenchDays {
  /** Of each step, from 1. */
  readonly starts: readonly number[];
  /** On which all is done. */
  readonly end: number;
  readonly elapsedS: number;
}

const DAY_S = 86_400;

/** One pair of hands, one step after another. Work goes on the next morning, drying goes on at night. A coat that another may follow soon waits for the morning
 *  where the night would part the two and that ends sooner. Cost: O(2^c steps), c such coats. */
export function benchDays(steps: readonly Step[], hours: BenchHours): BenchDays {
  const beginS = hours.startsH * 3600;
  const { startsS, endS } = from(0, { steps, hours, nowS: beginS, doneS: new Map() });
  return { starts: startsS.map(dayOf), end: dayOf(endS), elapsedS: endS - beginS };
}

interface Bench {
  readonly steps: readonly Step[];
  readonly hours: BenchHours;
  readonly nowS: number;
  /** When hands left each step. */
  readonly doneS: ReadonlyMap<string, number>;
}

interface Run {
  readonly startsS: readonly number[];
  readonly endS: number;
}

function from(index: number, bench: Bench): Run {
  const { steps, hours, nowS, doneS } = bench;
  const step = steps[index];
  if (step === undefined) return { startsS: [], endS: nowS };
  const { id, window, handsOnS, unattendedS } = step;
  const rests = (atS: number): number => (handsOnS > 0 ? wakingS(atS, hours) : atS);
  const coatedS = window === undefined ? undefined : doneS.get(window.of);
  const isLate = window !== undefined && coatedS !== undefined && rests(nowS) - coatedS > window.soonS;
  const firstS = rests(isLate ? Math.max(nowS, coatedS + window.laterS) : nowS);
  const begun = (startS: number): Run => {
    const leftS = workedS(startS, handsOnS, hours);
    const next = from(index + 1, { ...bench, nowS: leftS + unattendedS, doneS: new Map(doneS).set(id, leftS) });
    return { startsS: [startS, ...next.startsS], endS: next.endS };
  };
  const atOnce = begun(firstS);
  const follows = steps[index + 1]?.window;
  if (follows?.of !== id || follows.soonS === 0) return atOnce;
  const rested = begun(wakingS(firstS + upS(hours) - sinceUpS(firstS, hours), hours));
  return rested.endS < atOnce.endS ? rested : atOnce;
}

function dayOf(atS: number): number {
  return Math.floor(atS / DAY_S) + 1;
}

/** Seconds hands are up each day. */
function upS({ fromH, toH }: BenchHours): number {
  const h = (toH - fromH + 24) % 24;
  return (h === 0 ? 24 : h) * 3600;
}

/** Since hands got up last. */
function sinceUpS(atS: number, { fromH }: BenchHours): number {
  return (((atS - fromH * 3600) % DAY_S) + DAY_S) % DAY_S;
}

/** The first moment from `atS` on at which hands are up. */
function wakingS(atS: number, hours: BenchHours): number {
  const since = sinceUpS(atS, hours);
  return since < upS(hours) ? atS : atS + DAY_S - since;
}

/** When so much work is done that begins at `startS`, with hands up. */
function workedS(startS: number, handsOnS: number, hours: BenchHours): number {
  const firstS = upS(hours) - sinceUpS(startS, hours);
  if (handsOnS <= firstS) return startS + handsOnS;
  const left = handsOnS - firstS;
  const nights = Math.ceil(left / upS(hours));
  return startS + firstS + nights * (DAY_S - upS(hours)) + left;
}
