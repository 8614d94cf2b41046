// The lines in which a plane meets the outside of a part, each with where it lies and how it ends.
import type { PlaneCrossing } from '../../../geometry/plane-crossing.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { chainLoops } from '../../../geometry/section-loops.ts';
import { NONE, type Vec3 } from '../../../mesh/mesh.ts';

export interface OuterLine {
  /** Places in PlaneCrossing.cutTris, in walking order, each followed by the next. */
  readonly segments: readonly number[];
  readonly isClosed: boolean;
  /** Whether it starts, ends on a mating face made before: there the seam has to stay in its plane. */
  readonly isHeld: readonly [boolean, boolean];
  readonly lengthMm: number;
}

/** Lines on the outside; stretches of inside shorter than a few mm between two of them belong to both. Empty when contours do not close.
 *  Cost: O(cut triangles). */
export function outerLines(part: MeshPart, crossing: PlaneCrossing, isOuter: Uint8Array): OuterLine[] {
  const chain = chainLoops(crossing.start, crossing.end, crossing.lowVert.length);
  if (chain === null) return [];
  const lines: OuterLine[] = [];
  const segmentFrom = segmentsByStart(crossing);
  for (let i = 0; i + 1 < chain.loopStart.length; i++) {
    const loop = chain.order.subarray(chain.loopStart[i]!, chain.loopStart[i + 1]!);
    const segments = [...loop].map((from, k) => segmentFrom(from, loop[(k + 1) % loop.length]!));
    if (segments.length >= 3) linesOfLoop(part, crossing, { segments, isOuter }, lines);
  }
  return lines;
}

/** Bridges shorter than this are noise in what is outside. */
const BRIDGE_MM = 3;

const OUTER = 0;
const INNER = 1;
const HELD = 2;

function linesOfLoop(
  part: MeshPart,
  crossing: PlaneCrossing,
  loop: { readonly segments: readonly number[]; readonly isOuter: Uint8Array },
  lines: OuterLine[],
): void {
  const { segments } = loop;
  const num = segments.length;
  const lengths = segments.map((s) => segmentLength(crossing, s));
  const kinds = segments.map((s) => {
    const source = part.sourceTri[crossing.cutTris[s]!]!;
    if (source <= NONE) return HELD;
    return loop.isOuter[source] === 1 ? OUTER : INNER;
  });
  const first = kinds.findIndex((kind, k) => kind !== OUTER && kinds[(k + 1) % num] === OUTER);
  const total = (from: number, count: number): number => {
    let sum = 0;
    for (let k = 0; k < count; k++) sum += lengths[(from + k) % num]!;
    return sum;
  };
  if (first < 0) {
    if (kinds[0] === OUTER) lines.push({ segments, isClosed: true, isHeld: [false, false], lengthMm: total(0, num) });
    return;
  }
  const runs: { from: number; count: number; kind: number }[] = [];
  for (let k = 0; k < num; k++) {
    const at = (first + 1 + k) % num;
    const last = runs.at(-1);
    if (last !== undefined && last.kind === kinds[at]) last.count++;
    else runs.push({ from: at, count: 1, kind: kinds[at]! });
  }
  for (let r = runs.length - 2; r > 0; r--) {
    const [before, run, behind] = [runs[r - 1]!, runs[r]!, runs[r + 1]!];
    if (run.kind !== INNER || before.kind !== OUTER || behind.kind !== OUTER || total(run.from, run.count) > BRIDGE_MM)
      continue;
    before.count += run.count + behind.count;
    runs.splice(r, 2);
  }
  runs.forEach((run, r) => {
    if (run.kind !== OUTER) return;
    const before = runs[(r + runs.length - 1) % runs.length]!;
    const behind = runs[(r + 1) % runs.length]!;
    lines.push({
      segments: Array.from({ length: run.count }, (_, k) => segments[(run.from + k) % num]!),
      isClosed: false,
      isHeld: [before.kind === HELD, behind.kind === HELD],
      lengthMm: total(run.from, run.count),
    });
  });
}

/** The segment from one crossing to another; where the surface is pinched several may start at the same. */
function segmentsByStart(crossing: PlaneCrossing): (from: number, to: number) => number {
  const { start, end } = crossing;
  const first = new Int32Array(crossing.lowVert.length).fill(NONE);
  const next = new Int32Array(start.length).fill(NONE);
  for (let s = start.length - 1; s >= 0; s--) {
    next[s] = first[start[s]!]!;
    first[start[s]!] = s;
  }
  return (from, to) => {
    let at = first[from]!;
    while (next[at] !== NONE && end[at] !== to) at = next[at]!;
    return at;
  };
}

export function segmentLength({ points, start, end }: PlaneCrossing, s: number): number {
  const a = start[s]! * 3;
  const b = end[s]! * 3;
  return Math.hypot(points[a]! - points[b]!, points[a + 1]! - points[b + 1]!, points[a + 2]! - points[b + 2]!);
}

/** A place on a line: where, on which segment, and along which direction the line runs there. */
export interface LinePlace {
  readonly at: Vec3;
  readonly segment: number;
  readonly along: Vec3;
}

/** Places evenly spread over a line, about everyMm apart, the ends of an open one among them. `along` is taken over a few mm. */
export function placesOn(line: OuterLine, crossing: PlaneCrossing, everyMm: number): LinePlace[] {
  const { segments } = line;
  const until = new Float64Array(segments.length + 1);
  segments.forEach((s, k) => {
    until[k + 1] = until[k]! + segmentLength(crossing, s);
  });
  const total = until[segments.length]!;
  const steps = Math.max(2, Math.round(total / everyMm));
  const pointAt = (where: number): { at: Vec3; k: number } => {
    const s = line.isClosed ? ((where % total) + total) % total : Math.min(total, Math.max(0, where));
    let low = 0;
    let high = segments.length - 1;
    while (low < high) {
      const mid = (low + high + 1) >> 1;
      if (until[mid]! <= s) low = mid;
      else high = mid - 1;
    }
    const length = until[low + 1]! - until[low]!;
    const f = length > 0 ? (s - until[low]!) / length : 0;
    const a = crossing.start[segments[low]!]! * 3;
    const b = crossing.end[segments[low]!]! * 3;
    const p = crossing.points;
    const mix = (c: number): number => (1 - f) * p[a + c]! + f * p[b + c]!;
    return { at: [mix(0), mix(1), mix(2)], k: low };
  };
  return Array.from({ length: line.isClosed ? steps : steps + 1 }, (_, i) => {
    const where = (total * i) / steps;
    const { at, k } = pointAt(where);
    const back = pointAt(where - ALONG_MM).at;
    const on = pointAt(where + ALONG_MM).at;
    const d: Vec3 = [on[0] - back[0], on[1] - back[1], on[2] - back[2]];
    const l = Math.hypot(d[0], d[1], d[2]) || 1;
    return { at, segment: segments[k]!, along: [d[0] / l, d[1] / l, d[2] / l] };
  });
}

const ALONG_MM = 3;
