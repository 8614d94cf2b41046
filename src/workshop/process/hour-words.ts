// An hour of a plan in words: days are counted from the first, there is no calendar.

const DAY_S = 86400;

/** "day 3, 14:05", rounded to the minute; `atS`: seconds since midnight before day 1. */
export function hourOf(atS: number): string {
  const minutes = Math.round(atS / 60);
  const day = Math.floor((minutes * 60) / DAY_S);
  return `day ${day + 1}, ${clockOf(minutes * 60 - day * DAY_S)}`;
}

/** "7:00" of seconds since midnight. */
export function clockOf(atS: number): string {
  const minutes = Math.round(atS / 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
}
