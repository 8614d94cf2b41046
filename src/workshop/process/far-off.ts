// When a measured value is no measurement of what was estimated: told while it is typed, and again when it is kept.

/** Measured over estimated, and estimated over measured, at most: more is a slip of the pen or a print with other settings. */
const MOST_TIMES_OFF = 3;

/** Whether a measured value is no measurement of what was estimated. */
export function isFarOff(measured: number, estimated: number): boolean {
  return !(measured <= estimated * MOST_TIMES_OFF && measured >= estimated / MOST_TIMES_OFF);
}
