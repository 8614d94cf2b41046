// Decides how the figure is drawn while it moves: in full where the machine keeps up, coarse or coarser where it does not.

/** full: every triangle, fine lines. coarse: few triangles, one texel a pixel. sketch: the same with half as many texels, no creases. */
export type Level = 'full' | 'coarse' | 'sketch';

export interface Pace {
  /** What to draw while it moves; at rest it is always drawn in full. */
  readonly whileMoving: Level;
  /** A frame at that level took so long, from the first command to the last pixel, ms. */
  heard(level: Level, ms: number): void;
}

const LEVELS: readonly Level[] = ['full', 'coarse', 'sketch'];
/** A frame that takes longer makes turning jerky: about 22 frames a second. */
export const SLOW_MS = 45;
/** Only well below that is it worth going back, or it would change to and fro. */
export const QUICK_MS = 26;
/** Weight of the newest frame in the mean. */
const NEWEST = 0.35;

/** The first level, from the finest, whose frames are quick enough. A full frame is taken to be slow until one at rest was quick, so
 *  that the first turn never begins with a jerk. Full frames are heard at every rest, coarse ones are tried again when sketches have
 *  become quick, so that a machine that keeps up again is noticed. */
export function paceOfFrames(): Pace {
  const known = LEVELS.map((level) => ({ mean: 0, heard: 0, isSlow: level === 'full' }));
  const now = (): number => {
    const first = known.findIndex(({ isSlow }) => !isSlow);
    return first === -1 ? LEVELS.length - 1 : first;
  };
  return {
    get whileMoving() {
      return LEVELS[now()]!;
    },
    heard(level, ms) {
      const index = LEVELS.indexOf(level);
      const each = known[index]!;
      each.mean = each.heard === 0 ? ms : each.mean + (ms - each.mean) * NEWEST;
      each.heard++;
      if (each.mean > SLOW_MS) each.isSlow = true;
      else if (each.mean < QUICK_MS) each.isSlow = false;
      // A coarse frame is about twice a sketch: when sketches are that quick, it gets another try.
      const finer = known[index - 1];
      if (level === 'sketch' && finer !== undefined && each.heard > TRY_AGAIN && each.mean < QUICK_MS / 2) {
        Object.assign(finer, { heard: 0, isSlow: false });
        each.heard = 0;
      }
    },
  };
}

/** Quick sketches before a coarse frame is tried again. */
const TRY_AGAIN = 40;
