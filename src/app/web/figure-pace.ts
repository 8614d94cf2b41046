// Decides at which level the figure is drawn while it moves: in full where the machine keeps up, coarse where it does not.

export type Level = 'full' | 'coarse';

export interface Pace {
  /** What to draw while it moves; at rest it is always drawn in full. */
  readonly whileMoving: Level;
  /** A frame at that level took so long, from the first command to the last pixel, ms. */
  heard(level: Level, ms: number): void;
}

/** A full frame that takes longer makes turning jerky: about 22 frames a second. */
export const SLOW_MS = 45;
/** Only well below that is it worth going back, or it would change to and fro. */
export const QUICK_MS = 26;
/** Weight of the newest frame in the mean. */
const NEWEST = 0.35;

/** Full frames are still heard at rest, so a machine that has become quick again is noticed. Coarse ones tell nothing about them. */
export function paceOfFrames(): Pace {
  let mean: number | null = null;
  let whileMoving: Level = 'full';
  return {
    get whileMoving() {
      return whileMoving;
    },
    heard(level, ms) {
      if (level !== 'full') return;
      mean = mean === null ? ms : mean + (ms - mean) * NEWEST;
      if (mean > SLOW_MS) whileMoving = 'coarse';
      else if (mean < QUICK_MS) whileMoving = 'full';
    },
  };
}
