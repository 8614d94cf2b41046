// Where on the paper a line's name stands: on the longest stretch of it that is seen, clear of the names before it.

/** A name on the paper, mm; the middle of its letters. */
export interface PlacedName {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  /** step: the number of a step, in a circle. */
  readonly look?: 'step';
}

/** A stretch of a line that is seen: x y x y ..., paper mm. */
export interface NamedRun {
  readonly text: string;
  readonly points: Float32Array;
  readonly look?: 'step';
}

/** Names are kept so far apart, mm: about the height of two lines of letters. */
const APART_MM = 6;
/** A stretch shorter than this carries no name. */
const LEAST_RUN_MM = 4;
/** Shares of the length at which a name is tried, the middle first; the number of a step near where it begins, so that it is seen whose it is
 *  where ways cross. */
const SHARES = [0.5, 0.35, 0.65, 0.2, 0.8] as const;
const STEP_SHARES = [0.25, 0.2, 0.3, 0.15, 0.35, 0.45, 0.6, 0.75] as const;

/** Longest lines choose first, clear of the names that stand already. A name that finds no room anywhere along its line is left out.
 *  Cost: O(names x names). */
export function placedNames(runs: readonly NamedRun[], standing: readonly PlacedName[] = []): PlacedName[] {
  const longest = new Map<string, { readonly run: NamedRun; readonly mm: number }>();
  for (const run of runs) {
    const mm = lengthOf(run.points);
    if (mm >= LEAST_RUN_MM && mm > (longest.get(run.text)?.mm ?? 0)) longest.set(run.text, { run, mm });
  }
  const placed: PlacedName[] = [...standing];
  for (const { run, mm } of [...longest.values()].sort((a, b) => b.mm - a.mm)) {
    const shares = run.look === 'step' ? STEP_SHARES : SHARES;
    const free = shares
      .map((share) => at(run.points, share * mm))
      .find(([x, y]) => placed.every((other) => Math.hypot(other.x - x, other.y - y) >= APART_MM));
    if (free === undefined) continue;
    placed.push({ text: run.text, x: free[0], y: free[1], ...(run.look === undefined ? {} : { look: run.look }) });
  }
  return placed;
}

function lengthOf(points: Float32Array): number {
  let mm = 0;
  for (let i = 2; i < points.length; i += 2)
    mm += Math.hypot(points[i]! - points[i - 2]!, points[i + 1]! - points[i - 1]!);
  return mm;
}

/** The point so far along the line. */
function at(points: Float32Array, mm: number): readonly [number, number] {
  let left = mm;
  for (let i = 2; i < points.length; i += 2) {
    const [x, y] = [points[i - 2]!, points[i - 1]!];
    const step = Math.hypot(points[i]! - x, points[i + 1]! - y);
    if (step >= left && step > 0)
      return [x + ((points[i]! - x) * left) / step, y + ((points[i + 1]! - y) * left) / step];
    left -= step;
  }
  return [points[points.length - 2]!, points[points.length - 1]!];
}
