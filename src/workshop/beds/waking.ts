// When there are hands: the hours of every day in which a bed can be changed.

const DAY_S = 86400;

export interface WakingHours {
  readonly wakingFromH: number;
  /** Not later than `wakingFromH`: of the next day. */
  readonly wakingToH: number;
}

/** How long somebody is awake on end; a whole day and more is told as a day. */
export function wakingSpanS({ wakingFromH, wakingToH }: WakingHours): number {
  const span = wakingToH - wakingFromH;
  return (span > 0 ? span : span + 24) * 3600;
}

/** The earliest second, not before `fromS`, from which there are hands for `handsS` on end. Seconds since a midnight. Never earlier for a later
 *  `fromS`. Expects that the hands' time fits the waking hours. */
export function handsFrom(fromS: number, handsS: number, waking: WakingHours): number {
  const span = wakingSpanS(waking);
  if (span >= DAY_S) return fromS;
  const morning = waking.wakingFromH * 3600;
  const day = Math.floor((fromS - morning) / DAY_S);
  const woke = morning + day * DAY_S;
  return fromS + handsS <= woke + span ? fromS : woke + DAY_S;
}

export function isAwake(atS: number, waking: WakingHours): boolean {
  return handsFrom(atS, 0, waking) === atS;
}
