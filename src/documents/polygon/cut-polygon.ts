// Faces with more than three corners: one polygon in space into triangles that cover it once, convex or not.
import { orient2d } from 'robust-predicates';
import type { GrowingIndices } from '../growing.ts';

/** Bounds the work of all polygons of one file together, and counts those that were no simple polygon. */
export interface CutBudget {
  /** Point-in-triangle tests that may still be made. */
  testsLeft: number;
  numTangled: number;
  /** Called every few ten milliseconds of work on one large polygon; may throw to stop. */
  readonly tick: () => void;
}

/** Some seconds of work. A face of 20 000 corners that turn every way needs about a tenth of it. */
export const CUT_TESTS = 2e9;
const TESTS_PER_TICK = 1e6;

/** Appends size - 2 triangles over the polygon corners[from, to) of vertex handles, turning as the polygon does. Space: any.
 *  A fan from the first corner where all its triangles face as the polygon does; otherwise ears are clipped in the projection along
 *  the largest component of the Newell normal, with exact orientation tests. False when the budget ran out.
 *  Cost: O(n) for a fan, O(n r) for n corners of which r are reflex. Method: Meisters 1975; docs/methods/polygons.md.
 *  Weak: a face far from flat is cut as its shadow is; an outline that crosses itself has no right answer and is counted. */
export function cutPolygon(
  polygon: { positions: Float64Array; corners: Uint32Array; from: number; to: number },
  into: GrowingIndices,
  budget: CutBudget,
): boolean {
  const { corners, from, to } = polygon;
  const size = to - from;
  if (size < 3) return true;
  if (size === 3 || isFan(polygon)) {
    for (let i = from + 2; i < to; i++) into.push3(corners[from]!, corners[i - 1]!, corners[i]!);
    return true;
  }
  return clipEars(polygon, into, budget);
}

/** A triangle of a fan must have at least this part of the polygon's area, or it counts as flat. */
const LEAST_PART = 1e-10;

function isFan({ positions: p, corners, from, to }: Polygon): boolean {
  const [nx, ny, nz] = newell(p, corners, from, to);
  const least = LEAST_PART * (nx * nx + ny * ny + nz * nz);
  if (!(least > 0)) return true; // no area or no numbers: any cut is as good
  const a = corners[from]! * 3;
  for (let i = from + 2; i < to; i++) {
    const b = corners[i - 1]! * 3;
    const c = corners[i]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const facing = (uy * vz - uz * vy) * nx + (uz * vx - ux * vz) * ny + (ux * vy - uy * vx) * nz;
    if (!(facing > least)) return false;
  }
  return true;
}

interface Polygon {
  readonly positions: Float64Array;
  readonly corners: Uint32Array;
  readonly from: number;
  readonly to: number;
}

/** Twice the area vector of a closed outline (Newell), summed about its first corner. */
function newell(p: Float64Array, corners: Uint32Array, from: number, to: number): [number, number, number] {
  const o = corners[from]! * 3;
  let [nx, ny, nz] = [0, 0, 0];
  for (let i = from + 2; i < to; i++) {
    const b = corners[i - 1]! * 3;
    const c = corners[i]! * 3;
    const ux = p[b]! - p[o]!;
    const uy = p[b + 1]! - p[o + 1]!;
    const uz = p[b + 2]! - p[o + 2]!;
    const vx = p[c]! - p[o]!;
    const vy = p[c + 1]! - p[o + 1]!;
    const vz = p[c + 2]! - p[o + 2]!;
    nx += uy * vz - uz * vy;
    ny += uz * vx - ux * vz;
    nz += ux * vy - uy * vx;
  }
  return [nx, ny, nz];
}

/** The outline in its plane, as a ring of the corners not yet cut off. */
interface Ring {
  readonly xy: Float64Array;
  readonly next: Int32Array;
  readonly before: Int32Array;
  /** 1 for a corner that turns right or not at all: only these can lie in an ear. */
  readonly reflex: Uint8Array;
}

function clipEars(polygon: Polygon, into: GrowingIndices, budget: CutBudget): boolean {
  const { corners, from, to } = polygon;
  const ring = ringOf(polygon);
  const { next, before, reflex } = ring;
  let left = to - from;
  let at = 0;
  let missed = 0;
  let isTangled = false;
  let tickAt = budget.testsLeft - TESTS_PER_TICK;
  while (left > 3) {
    if (budget.testsLeft < tickAt) {
      if (budget.testsLeft < 0) return false;
      budget.tick();
      tickAt = budget.testsLeft - TESTS_PER_TICK;
    }
    // a round without an ear: the outline crosses or touches itself, so corners go without asking, left turns first
    const force = missed >= 2 * left ? 2 : missed >= left ? 1 : 0;
    const isEar = force === 2 || (reflex[at] === 0 && (force === 1 || !holdsCorner(ring, at, budget)));
    if (!isEar) {
      missed++;
      at = next[at]!;
      continue;
    }
    isTangled ||= force > 0 && turn(ring, before[at]!, at, next[at]!) !== 0;
    const a = before[at]!;
    const c = next[at]!;
    into.push3(corners[from + a]!, corners[from + at]!, corners[from + c]!);
    next[a] = c;
    before[c] = a;
    left--;
    missed = 0;
    reflex[a] = turn(ring, before[a]!, a, c) > 0 ? 0 : 1;
    reflex[c] = turn(ring, a, c, next[c]!) > 0 ? 0 : 1;
    at = next[c]!; // every second one, which makes rounder triangles than a row of neighbours
  }
  into.push3(corners[from + before[at]!]!, corners[from + at]!, corners[from + next[at]!]!);
  if (isTangled) budget.numTangled++;
  return true;
}

function ringOf({ positions, corners, from, to }: Polygon): Ring {
  const size = to - from;
  const [nx, ny, nz] = newell(positions, corners, from, to);
  const [ax, ay, az] = [Math.abs(nx), Math.abs(ny), Math.abs(nz)];
  const drop = az >= ax && az >= ay ? 2 : ay >= ax ? 1 : 0;
  const isTurned = [nx, ny, nz][drop]! < 0;
  const u = isTurned ? (drop + 2) % 3 : (drop + 1) % 3;
  const v = isTurned ? (drop + 1) % 3 : (drop + 2) % 3;
  const ring: Ring = {
    xy: new Float64Array(size * 2),
    next: new Int32Array(size),
    before: new Int32Array(size),
    reflex: new Uint8Array(size),
  };
  for (let i = 0; i < size; i++) {
    const at = corners[from + i]! * 3;
    ring.xy[2 * i] = positions[at + u]!;
    ring.xy[2 * i + 1] = positions[at + v]!;
    ring.next[i] = i + 1 === size ? 0 : i + 1;
    ring.before[i] = i === 0 ? size - 1 : i - 1;
  }
  for (let i = 0; i < size; i++) ring.reflex[i] = turn(ring, ring.before[i]!, i, ring.next[i]!) > 0 ? 0 : 1;
  return ring;
}

/** Positive for a left turn; exact sign. */
function turn({ xy }: Ring, a: number, b: number, c: number): number {
  return -orient2d(xy[2 * a]!, xy[2 * a + 1]!, xy[2 * b]!, xy[2 * b + 1]!, xy[2 * c]!, xy[2 * c + 1]!);
}

/** Whether another corner lies in or on the triangle that would be cut off at `b`; corners in the same place do not count. */
function holdsCorner(ring: Ring, b: number, budget: CutBudget): boolean {
  const { xy, next, before, reflex } = ring;
  const a = before[b]!;
  const c = next[b]!;
  for (let k = next[c]!; k !== a; k = next[k]!) {
    budget.testsLeft--;
    if (reflex[k] === 0 || isSamePlace(xy, k, a) || isSamePlace(xy, k, b) || isSamePlace(xy, k, c)) continue;
    if (turn(ring, a, b, k) >= 0 && turn(ring, b, c, k) >= 0 && turn(ring, c, a, k) >= 0) return true;
  }
  return false;
}

function isSamePlace(xy: Float64Array, i: number, k: number): boolean {
  return xy[2 * i] === xy[2 * k] && xy[2 * i + 1] === xy[2 * k + 1];
}
