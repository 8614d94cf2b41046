// Seconds of moves under a hidden law: jerk-limited ramps, corners by a step of speed. Shares nothing with the program.
export type Point = readonly [number, number];

export interface Move {
  readonly to: Point;
  readonly speed: number;
  readonly acceleration: number;
}

export interface HiddenLaw {
  readonly jerkMmS3: number;
  /** Speed a corner may change at once. */
  readonly stepMmS: number;
}

/** Seconds along the moves from rest to rest. A ramp of dv lasts dv / a + a / J, or 2 sqrt(dv / J) when short. */
export function driven(moves: readonly Move[], from: Point, law: HiddenLaw): number {
  const lengths: number[] = [];
  const dirs: Point[] = [];
  const used: Move[] = [];
  let at = from;
  for (const move of moves) {
    const d = Math.hypot(move.to[0] - at[0], move.to[1] - at[1]);
    if (d < 1e-9) continue;
    lengths.push(d);
    dirs.push([(move.to[0] - at[0]) / d, (move.to[1] - at[1]) / d]);
    used.push(move);
    at = move.to;
  }
  const n = used.length;
  const speeds = new Array<number>(n + 1).fill(0);
  for (let i = 1; i < n; i++) {
    const step = Math.hypot(dirs[i]![0] - dirs[i - 1]![0], dirs[i]![1] - dirs[i - 1]![1]);
    speeds[i] = Math.min(used[i]!.speed, used[i - 1]!.speed, step > 0 ? law.stepMmS / step : Infinity);
  }
  for (let i = n - 1; i >= 0; i--)
    speeds[i] = slowedTo(speeds[i]!, speeds[i + 1]!, lengths[i]!, { move: used[i]!, law });
  for (let i = 0; i < n; i++)
    speeds[i + 1] = slowedTo(speeds[i + 1]!, speeds[i]!, lengths[i]!, { move: used[i]!, law });
  let seconds = 0;
  for (let i = 0; i < n; i++) seconds += crossing(lengths[i]!, speeds[i]!, speeds[i + 1]!, { move: used[i]!, law });
  return seconds;
}

function rampSeconds(dv: number, a: number, jerk: number): number {
  return dv >= (a * a) / jerk ? dv / a + a / jerk : 2 * Math.sqrt(dv / jerk);
}

/** `wanted`, or what can be reached from `v` within d. */
function slowedTo(wanted: number, v: number, d: number, by: { move: Move; law: HiddenLaw }): number {
  const { move, law } = by;
  const fits = (to: number): boolean => ((v + to) / 2) * rampSeconds(to - v, move.acceleration, law.jerkMmS3) <= d;
  if (wanted <= v || fits(wanted)) return wanted;
  let [low, high] = [v, wanted];
  for (let i = 0; i < 24; i++) {
    const mid = (low + high) / 2;
    if (fits(mid)) low = mid;
    else high = mid;
  }
  return low;
}

function crossing(d: number, v0: number, v1: number, by: { move: Move; law: HiddenLaw }): number {
  const { move, law } = by;
  const ramp = (dv: number): number => rampSeconds(dv, move.acceleration, law.jerkMmS3);
  const need = (v: number): number => ((v + v0) / 2) * ramp(v - v0) + ((v + v1) / 2) * ramp(v - v1);
  let [low, high] = [Math.max(v0, v1), Math.max(v0, v1, move.speed)];
  if (need(high) <= d) low = high;
  else
    for (let i = 0; i < 24; i++) {
      const mid = (low + high) / 2;
      if (need(mid) <= d) low = mid;
      else high = mid;
    }
  return ramp(low - v0) + ramp(low - v1) + Math.max(0, d - need(low)) / Math.max(low, 1e-9);
}
