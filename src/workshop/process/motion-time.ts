// How long a machine head takes along a path: trapezoid moves, corner speeds, and the flow limit of the nozzle.

/** What limits a head along one path. Speeds mm/s, acceleration mm/s2, deviation mm. */
export interface MotionLimits {
  readonly speedMmS: number;
  readonly accelerationMmS2: number;
  readonly junctionDeviationMm: number;
}

/** Seconds of one straight move that starts at `fromMmS` and ends at `toMmS`, accelerating and braking evenly.
 *  Both end speeds must lie within the speed limit and be reachable from one another over the length.
 *  Method: trapezoid profile; docs/methods/print-time.md. Weak: no limit on jerk. */
export function moveSeconds(
  lengthMm: number,
  limits: { readonly speedMmS: number; readonly accelerationMmS2: number },
  fromMmS = 0,
  toMmS = 0,
): number {
  const { speedMmS: v, accelerationMmS2: a } = limits;
  const peak = peakSpeed(lengthMm, a, fromMmS, toMmS);
  if (peak <= v) return (2 * peak - fromMmS - toMmS) / a;
  const ramps = (2 * v * v - fromMmS * fromMmS - toMmS * toMmS) / (2 * a);
  return (2 * v - fromMmS - toMmS) / a + (lengthMm - ramps) / v;
}

/** Highest speed (mm/s) that the length allows between two end speeds, before any speed limit. */
export function peakSpeed(lengthMm: number, accelerationMmS2: number, fromMmS = 0, toMmS = 0): number {
  return Math.sqrt((2 * accelerationMmS2 * lengthMm + fromMmS * fromMmS + toMmS * toMmS) / 2);
}

/** The shape of a corner as the junction model sees it: s / (1 - s) with s = sin(half the interior angle); 0 for a full
 *  turn back, infinite for no corner. `bend` is sin2 of half the turn: 0 straight on, 1 straight back. */
export function cornerFactor(bend: number): number {
  if (bend <= 0) return Infinity;
  const s = Math.sqrt(Math.max(0, 1 - bend));
  return (s * (1 + s)) / bend;
}

/** Speed (mm/s) through a corner: sqrt(acceleration * deviation * factor), no speed limit applied.
 *  Method: junction deviation, Jeon 2011. */
export function cornerSpeed(bend: number, limits: Omit<MotionLimits, 'speedMmS'>): number {
  return Math.sqrt(limits.accelerationMmS2 * limits.junctionDeviationMm * cornerFactor(bend));
}

/** Straight moves one after another. lengthMm[i] is a move's length, bend[i] that of the corner at its END. */
export interface PathMoves {
  readonly lengthMm: Float64Array;
  readonly bend: Float64Array;
}

export interface PathRange {
  readonly from: number;
  readonly to: number;
  /** Scratch of at least to - from + 1 numbers, so that many paths share one array. */
  readonly scratch?: Float64Array;
}

/** Seconds along moves [from, to), at rest before the first and after the last.
 *  Corner speeds are bounded by the limit, then by a backward and a forward pass, so that each is reachable from its
 *  neighbours. Cost: O(moves). Rises never when speed, acceleration or deviation rise. */
export function pathSeconds(moves: PathMoves, limits: MotionLimits, range: PathRange): number {
  const { lengthMm, bend } = moves;
  const { from, to } = range;
  const num = to - from;
  if (num <= 0) return 0;
  const { speedMmS: v, accelerationMmS2: a } = limits;
  const vv = v * v;
  const perFactor = a * limits.junctionDeviationMm;
  const squares = range.scratch ?? new Float64Array(num + 1);
  squares[num] = 0;
  let next = 0;
  for (let i = num - 1; i >= 1; i--) {
    const reach = next + 2 * a * lengthMm[from + i]!;
    const atCorner = perFactor * cornerFactor(bend[from + i - 1]!);
    next = Math.min(reach, atCorner, vv);
    squares[i] = next;
  }
  let seconds = 0;
  let start = 0;
  let startSpeed = 0;
  for (let i = 0; i < num; i++) {
    const d = lengthMm[from + i]!;
    const end = Math.min(squares[i + 1]!, start + 2 * a * d);
    const endSpeed = Math.sqrt(end);
    const peakSquared = (2 * a * d + start + end) / 2;
    if (peakSquared <= vv) seconds += (2 * Math.sqrt(peakSquared) - startSpeed - endSpeed) / a;
    else seconds += (2 * v - startSpeed - endSpeed) / a + (d - (2 * vv - start - end) / (2 * a)) / v;
    start = end;
    startSpeed = endSpeed;
  }
  return seconds;
}

/** The speed (mm/s) a line can be laid at: the wanted one, or what the nozzle can melt for its cross-section. */
export function flowLimitedSpeed(wantedMmS: number, maxFlowMm3S: number, lineAreaMm2: number): number {
  return Math.min(wantedMmS, maxFlowMm3S / lineAreaMm2);
}

/** Seconds to add so that a layer takes at least the shortest layer time. */
export function waitingSeconds(layerS: number, shortestLayerS: number): number {
  return Math.max(0, shortestLayerS - layerS);
}
