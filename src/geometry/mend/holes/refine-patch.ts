// New vertices in a patch, as dense as those around it.
import { nextHalfEdge, previousHalfEdge } from '../../../mesh/half-edges.ts';
import { NONE } from '../../../mesh/mesh.ts';
import { areJoined, flipEdge } from '../flip-edge.ts';
import type { HolePatch } from './hole-patch.ts';

export interface RefineOptions {
  /** Per rim corner: the mean length of the edges there, mm. */
  readonly spacingMm: Float64Array;
  /** No more new vertices than this. */
  readonly mostVerts: number;
}

/** Puts a vertex into the middle of every side inside that is long against the spacing around, longest first, and flips sides until no
 *  two triangles have opposite angles of more than a half turn together; repeated until nothing is long. In place.
 *  Cost: O(n log n) each round, some ten rounds. Method: edge splits as in isotropic remeshing, flips after Liepa 2003;
 *  docs/methods/hole-filling.md. Weak: near the rim triangles follow its unevenness. */
export function refinePatch(patch: HolePatch, options: RefineOptions): void {
  const spacing = Array.from(options.spacingMm);
  for (let v = spacing.length; v < patch.points.length / 3; v++) spacing.push(meanOf(spacing, patch.numRim));
  for (let round = 0; round < MOST_ROUNDS; round++) {
    relaxSides(patch);
    const room = options.mostVerts - (patch.points.length / 3 - patch.numRim);
    if (splitLongSides(patch, spacing, room) === 0) return;
  }
  relaxSides(patch);
}

const MOST_ROUNDS = 24;
/** A side longer than this many times the spacing is split. Between 4/3, which makes twice the triangles, and 2, which leaves the
 *  vertex out that a fan of six had. */
const LONG = 1.5;

function meanOf(values: readonly number[], count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += values[i]! / count;
  return sum;
}

/** Splits at most one side of each triangle. Returns how many. */
function splitLongSides(patch: HolePatch, spacing: number[], room: number): number {
  const { points, triangles, twins } = patch;
  const long: { readonly h: number; readonly share: number }[] = [];
  for (let h = 0; h < triangles.length; h++) {
    if (twins[h]! < h) continue;
    const a = triangles[h]!;
    const b = triangles[nextHalfEdge(h)]!;
    const length = Math.hypot(...[0, 1, 2].map((c) => points[3 * a + c]! - points[3 * b + c]!));
    const share = (2 * length) / (spacing[a]! + spacing[b]!);
    if (share > LONG) long.push({ h, share });
  }
  long.sort((p, q) => q.share - p.share || p.h - q.h);
  const isTouched = new Uint8Array(triangles.length / 3);
  let count = 0;
  for (const { h } of long) {
    const t = Math.trunc(h / 3);
    const u = Math.trunc(twins[h]! / 3);
    if (count >= room || isTouched[t] === 1 || isTouched[u] === 1) continue;
    isTouched[t] = 1;
    isTouched[u] = 1;
    splitSide(patch, spacing, h);
    count++;
  }
  return count;
}

/** (a b c), (b a d) become (a m c), (m b c), (m a d), (b m d). */
function splitSide({ points, triangles, twins }: HolePatch, spacing: number[], h: number): void {
  const g = twins[h]!;
  const h1 = nextHalfEdge(h);
  const g2 = previousHalfEdge(g);
  const a = triangles[h]!;
  const b = triangles[h1]!;
  const c = triangles[previousHalfEdge(h)]!;
  const d = triangles[g2]!;
  const m = points.length / 3;
  for (let i = 0; i < 3; i++) points.push((points[3 * a + i]! + points[3 * b + i]!) / 2);
  spacing.push((spacing[a]! + spacing[b]!) / 2);
  const t = triangles.length;
  const [atH1, atG2] = [twins[h1]!, twins[g2]!];
  triangles[h1] = m;
  triangles[g] = m;
  // the new triangles: (m b c) and (b m d)
  triangles.push(m, b, c, b, m, d);
  twins.push(t + 3, atH1, h1, t, g2, atG2);
  twins[h1] = t + 2;
  twins[g2] = t + 4;
  if (atH1 !== NONE) twins[atH1] = t + 1;
  if (atG2 !== NONE) twins[atG2] = t + 5;
}

/** Flips until every side inside passes; a bound on rounds guards against turning in circles on curved patches. */
export function relaxSides(patch: HolePatch): void {
  const { triangles, twins } = patch;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let flipped = 0;
    for (let h = 0; h < triangles.length; h++) {
      const g = twins[h]!;
      if (g < h || !isSideLong(patch, h, g)) continue;
      const far = previousHalfEdge(h);
      if (areJoined(patch, far, triangles[previousHalfEdge(g)]!)) continue;
      flipEdge(patch, h);
      flipped++;
    }
    if (flipped === 0) return;
  }
}

function isSideLong(patch: HolePatch, h: number, g: number): boolean {
  const { triangles } = patch;
  const a = triangles[h]!;
  const b = triangles[nextHalfEdge(h)]!;
  const c = triangles[previousHalfEdge(h)]!;
  const d = triangles[previousHalfEdge(g)]!;
  if (c === d) return false;
  // old points of the rim alone: what the triangulation chose stays, or a bend that was avoided comes back
  if (a < patch.numRim && b < patch.numRim && c < patch.numRim && d < patch.numRim) return false;
  if (angleAt(patch, c, a, b) + angleAt(patch, d, a, b) <= Math.PI + 1e-9) return false;
  return !turnsOver(patch, a, b, c, d);
}

/** Would the flipped pair (c d b), (d c a) stand against the pair that is there? */
function turnsOver(patch: HolePatch, a: number, b: number, c: number, d: number): boolean {
  const before = sum(normalOf(patch, a, b, c), normalOf(patch, b, a, d));
  return dot(normalOf(patch, c, d, b), before) <= 0 || dot(normalOf(patch, d, c, a), before) <= 0;
}

function angleAt({ points: p }: HolePatch, at: number, a: number, b: number): number {
  const ux = p[3 * a]! - p[3 * at]!;
  const uy = p[3 * a + 1]! - p[3 * at + 1]!;
  const uz = p[3 * a + 2]! - p[3 * at + 2]!;
  const vx = p[3 * b]! - p[3 * at]!;
  const vy = p[3 * b + 1]! - p[3 * at + 1]!;
  const vz = p[3 * b + 2]! - p[3 * at + 2]!;
  const across = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
  return Math.atan2(across, ux * vx + uy * vy + uz * vz);
}

type Direction = readonly [number, number, number];

function normalOf({ points: p }: HolePatch, a: number, b: number, c: number): Direction {
  const ux = p[3 * b]! - p[3 * a]!;
  const uy = p[3 * b + 1]! - p[3 * a + 1]!;
  const uz = p[3 * b + 2]! - p[3 * a + 2]!;
  const vx = p[3 * c]! - p[3 * a]!;
  const vy = p[3 * c + 1]! - p[3 * a + 1]!;
  const vz = p[3 * c + 2]! - p[3 * a + 2]!;
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

function sum(u: Direction, v: Direction): Direction {
  return [u[0] + v[0], u[1] + v[1], u[2] + v[2]];
}

function dot(u: Direction, v: Direction): number {
  return u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
}
