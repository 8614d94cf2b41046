// The inner edge of a mating face as lines from end to end, with the places where keys must keep away: ends and corners.
import { cross, dot, minus, plus, scaled, unit, within } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { type SeamSection, SIDE_INNER, SIDE_SEAM } from './seam-section.ts';

/** A stretch of inner edge. The face lies to the left of its way, seen from above the plane. */
export interface InnerLine {
  /** num x 3; the first point is not repeated when it is closed. */
  readonly points: Float64Array;
  /** num, or num + 1 when closed: way along the line to each point, mm. */
  readonly wayMm: Float64Array;
  readonly closed: boolean;
  readonly lengthMm: number;
  /** Where the line ends or turns sharply, by rising way. */
  readonly stops: readonly LineStop[];
}

/** corner: a sharp turn. rim: the wall ends. seam: the wall goes on behind the mating face of a third piece. */
export interface LineStop {
  readonly wayMm: number;
  readonly what: 'corner' | 'rim' | 'seam';
}

/** Turns sharper than this are corners: both within the length of a few sides, and still so when looked at from farther away, since a small step
 *  of the line turns to and fro. */
const CORNER_DEG = 30;
/** Half the lengths over which a turn is looked at. */
const LOOK_MM = 2;
const FAR_LOOK_MM = 6;
const STEP_MM = 0.5;

export function innerLines(section: SeamSection): readonly InnerLine[] {
  return section.loops.flatMap(({ points, sides }) => stretches(points, sides).map((run) => lineOf(run)));
}

interface Stretch {
  readonly points: number[];
  readonly closed: boolean;
  /** Of an open one: what lies before its first point and after its last. */
  readonly ends: readonly [LineStop['what'], LineStop['what']];
}

function stretches(points: Float64Array, sides: Uint8Array): Stretch[] {
  const num = sides.length;
  const at = (i: number) => Array.from(points.subarray((i % num) * 3, (i % num) * 3 + 3));
  const first = sides.findIndex((side, i) => side === SIDE_INNER && sides[(i + num - 1) % num] !== SIDE_INNER);
  if (first < 0) {
    if (num === 0 || sides[0] !== SIDE_INNER) return [];
    const start = startOfRing(points);
    return [
      { points: Array.from({ length: num }, (_, i) => at(start + i)).flat(), closed: true, ends: ['rim', 'rim'] },
    ];
  }
  const out: Stretch[] = [];
  for (let i = first; i < first + num; i++) {
    if (sides[i % num] !== SIDE_INNER) continue;
    const run = [at(i)];
    const before = endBy(sides[(i + num - 1) % num]!);
    for (; sides[i % num] === SIDE_INNER; i++) run.push(at(i + 1));
    out.push({ points: run.flat(), closed: false, ends: [before, endBy(sides[i % num]!)] });
  }
  return out;
}

function endBy(side: number): LineStop['what'] {
  return side === SIDE_SEAM ? 'seam' : 'rim';
}

/** A ring starts where it lies farthest back, so that keys come out alike on both sides of a mirrored shell. */
function startOfRing(points: Float64Array): number {
  let best = 0;
  for (let i = 0; i < points.length / 3; i++) if (points[i * 3 + 1]! > points[best * 3 + 1]!) best = i;
  return best;
}

function lineOf({ points, closed, ends }: Stretch): InnerLine {
  const num = points.length / 3;
  const wayMm = new Float64Array(closed ? num + 1 : num);
  for (let i = 1; i < wayMm.length; i++) {
    const [a, b] = [(i - 1) * 3, (i % num) * 3];
    wayMm[i] =
      wayMm[i - 1]! +
      Math.hypot(points[b]! - points[a]!, points[b + 1]! - points[a + 1]!, points[b + 2]! - points[a + 2]!);
  }
  const line = { points: Float64Array.from(points), wayMm, closed, lengthMm: wayMm.at(-1)!, stops: [] };
  return { ...line, stops: stopsOf(line, ends) };
}

function stopsOf(line: InnerLine, ends: Stretch['ends']): LineStop[] {
  const corners: LineStop[] = [];
  const [from, to] = line.closed ? [0, line.lengthMm] : [LOOK_MM, line.lengthMm - LOOK_MM];
  for (let way = from; way <= to; way += STEP_MM)
    if (turnsAt(line, way, LOOK_MM) && turnsAt(line, way, FAR_LOOK_MM)) corners.push({ wayMm: way, what: 'corner' });
  if (line.closed) return corners;
  return [{ wayMm: 0, what: ends[0] }, ...corners, { wayMm: line.lengthMm, what: ends[1] }];
}

/** Whether the line turns by more than CORNER_DEG between the ways to a place and from it. */
function turnsAt(line: InnerLine, way: number, lookMm: number): boolean {
  const [a, b, c] = [placeOn(line, way - lookMm), placeOn(line, way), placeOn(line, way + lookMm)];
  return dot(unit(minus(b, a)), unit(minus(c, b))) < Math.cos((CORNER_DEG * Math.PI) / 180);
}

/** The place so far along the line; a closed line goes round, an open one stops at its ends. */
export function placeOn({ points, wayMm, closed, lengthMm }: InnerLine, way: number): Vec3 {
  const num = points.length / 3;
  const at = closed ? ((way % lengthMm) + lengthMm) % lengthMm : Math.min(lengthMm, Math.max(0, way));
  let [low, high] = [0, wayMm.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (wayMm[middle]! <= at) low = middle;
    else high = middle;
  }
  const step = wayMm[high]! - wayMm[low]!;
  const f = step > 0 ? (at - wayMm[low]!) / step : 0;
  const [a, b] = [low * 3, (high % num) * 3];
  return [
    points[a]! + f * (points[b]! - points[a]!),
    points[a + 1]! + f * (points[b + 1]! - points[a + 1]!),
    points[a + 2]! + f * (points[b + 2]! - points[a + 2]!),
  ];
}

/** Whether all stops are as far from a place, along the line, as each kind asks for. */
export function isClearOfStops(
  { stops, closed, lengthMm }: InnerLine,
  way: number,
  leastMm: Readonly<Record<LineStop['what'], number>>,
): boolean {
  return stops.every(({ wayMm, what }) => {
    const away = Math.abs(way - wayMm);
    return (closed ? Math.min(away, lengthMm - away) : away) >= leastMm[what];
  });
}

/** Along the line as it runs over `spanMm` about a place, and from the wall to the inside; both in the plane. */
export function frameAt(
  line: InnerLine,
  n: Vec3,
  way: number,
  spanMm: number,
): { along: Vec3; inward: Vec3; at: Vec3 } {
  const [a, b] = [placeOn(line, way - spanMm / 2), placeOn(line, way + spanMm / 2)];
  const along = unit(within(n, minus(b, a)));
  return { at: placeOn(line, way), along, inward: cross(along, n) };
}

/** Places along a line about every `stepMm`, in the middle of equal steps. */
export function placesAlong(line: InnerLine, stepMm: number): Vec3[] {
  const steps = Math.max(1, Math.round(line.lengthMm / stepMm));
  return Array.from({ length: steps }, (_, i) => placeOn(line, ((i + 0.5) * line.lengthMm) / steps));
}

/** The line's points about a place as seen in a frame: num x 3 (along, into, inward), in order of `along`, where it runs on. */
export function lineInFrame(
  line: InnerLine,
  way: number,
  halfMm: number,
  frame: { readonly at: Vec3; readonly along: Vec3; readonly into: Vec3; readonly inward: Vec3 },
): Float64Array {
  const out: [number, number, number][] = [];
  for (let w = way - halfMm; w <= way + halfMm + STEP_MM / 2; w += STEP_MM) {
    const p = minus(placeOn(line, w), frame.at);
    const seen = [frame.along, frame.into, frame.inward].map((d) => p[0] * d[0] + p[1] * d[1] + p[2] * d[2]);
    out.push(seen as [number, number, number]);
  }
  out.sort((a, b) => a[0] - b[0]);
  return Float64Array.from(out.flat());
}

export function inSpace(
  frame: { readonly at: Vec3; readonly along: Vec3; readonly into: Vec3; readonly inward: Vec3 },
  a: number,
  s: number,
  h: number,
): Vec3 {
  return plus(plus(frame.at, scaled(frame.along, a)), plus(scaled(frame.into, s), scaled(frame.inward, h)));
}
