// Do two triangles of one mesh cross? Decided exactly; touching where neighbours are joined is no crossing.
import { orient2d, orient3d } from 'robust-predicates';
import type { Mesh } from '../../mesh/mesh.ts';

/** No crossing. */
export const CROSS_NOT = 0;
/** They share an edge and lie folded onto each other in one plane. */
export const CROSS_FOLDED = 1;
/** They share a corner and meet elsewhere too. */
export const CROSS_AT_CORNER = 2;
/** They share nothing and meet, if only in a point. */
export const CROSS_APART = 3;

export type Crossing = typeof CROSS_NOT | typeof CROSS_FOLDED | typeof CROSS_AT_CORNER | typeof CROSS_APART;

/** Whether triangles i and j of a welded mesh meet anywhere but in the corner or edge they share. Both must have an area
 *  ({@link hasArea}); a triangle and its double (the same three corners) do not count. Exact for all finite coordinates whose
 *  products neither overflow nor vanish. Cost: some 50 ns where a plane separates them.
 *  Method: signs of orient3d and, in one plane, orient2d (Shewchuk 1997); docs/methods/self-crossings.md. */
export function triangleCrossing({ positions: p, triangles }: Mesh, i: number, j: number): Crossing {
  const a = triangles[i * 3]! * 3;
  const b = triangles[i * 3 + 1]! * 3;
  const c = triangles[i * 3 + 2]! * 3;
  const d = triangles[j * 3]! * 3;
  const e = triangles[j * 3 + 1]! * 3;
  const f = triangles[j * 3 + 2]! * 3;
  const inA = a === d || a === e || a === f;
  const inB = b === d || b === e || b === f;
  const inC = c === d || c === e || c === f;
  const shared = (inA ? 1 : 0) + (inB ? 1 : 0) + (inC ? 1 : 0);
  if (shared === 0) return apartMeet(p, a, b, c, d, e, f) ? CROSS_APART : CROSS_NOT;
  if (shared === 3) return CROSS_NOT;
  const inD = d === a || d === b || d === c;
  const inE = e === a || e === b || e === c;
  if (shared === 2) {
    const top = !inA ? a : !inB ? b : c;
    const from = !inA ? b : !inB ? c : a;
    const to = !inA ? c : !inB ? a : b;
    const other = !inD ? d : !inE ? e : f;
    return isFolded(p, from, to, top, other) ? CROSS_FOLDED : CROSS_NOT;
  }
  const at = inA ? a : inB ? b : c;
  const from = inA ? b : inB ? c : a;
  const to = inA ? c : inB ? a : b;
  const otherFrom = inD ? e : inE ? f : d;
  const otherTo = inD ? f : inE ? d : e;
  return meetBeyondCorner(p, at, from, to, otherFrom, otherTo) ? CROSS_AT_CORNER : CROSS_NOT;
}

/** Exactly: the three corners of triangle t do not lie on one line. */
export function hasArea({ positions: p, triangles }: Mesh, t: number): boolean {
  return plainestAxis(p, triangles[t * 3]! * 3, triangles[t * 3 + 1]! * 3, triangles[t * 3 + 2]! * 3) < 3;
}

// The kernels below take points as offsets into the positions, bare, as predicates do: no object per call.

type Points = Float64Array;

/** Two triangles without a common corner: not when one lies strictly on one side of the other's plane. Otherwise they meet exactly
 *  when an edge of one meets the other. */
function apartMeet(p: Points, a: number, b: number, c: number, d: number, e: number, f: number): boolean {
  const sd = planeSide(p, a, b, c, d);
  const se = planeSide(p, a, b, c, e);
  const sf = planeSide(p, a, b, c, f);
  if ((sd > 0 && se > 0 && sf > 0) || (sd < 0 && se < 0 && sf < 0)) return false;
  if (sd === 0 && se === 0 && sf === 0) return apartMeetInPlane(p, a, b, c, d, e, f);
  const sa = planeSide(p, d, e, f, a);
  const sb = planeSide(p, d, e, f, b);
  const sc = planeSide(p, d, e, f, c);
  if ((sa > 0 && sb > 0 && sc > 0) || (sa < 0 && sb < 0 && sc < 0)) return false;
  return (
    (parted(sd, se) && lineMeets(p, d, e, a, b, c)) ||
    (parted(se, sf) && lineMeets(p, e, f, a, b, c)) ||
    (parted(sf, sd) && lineMeets(p, f, d, a, b, c)) ||
    (parted(sa, sb) && lineMeets(p, a, b, d, e, f)) ||
    (parted(sb, sc) && lineMeets(p, b, c, d, e, f)) ||
    (parted(sc, sa) && lineMeets(p, c, a, d, e, f))
  );
}

/** Triangles (v, a, b) and (v, c, d): they meet beyond v exactly when the edge across from v of one meets the other. */
function meetBeyondCorner(p: Points, v: number, a: number, b: number, c: number, d: number): boolean {
  const sc = planeSide(p, v, a, b, c);
  const sd = planeSide(p, v, a, b, d);
  if ((sc > 0 && sd > 0) || (sc < 0 && sd < 0)) return false;
  if (sc === 0 && sd === 0) {
    const axis = plainestAxis(p, v, a, b);
    return segmentMeetsInPlane(p, axis, c, d, v, a, b) || segmentMeetsInPlane(p, axis, a, b, v, c, d);
  }
  const sa = planeSide(p, v, c, d, a);
  const sb = planeSide(p, v, c, d, b);
  if ((sa > 0 && sb > 0) || (sa < 0 && sb < 0)) return false;
  return (parted(sc, sd) && lineMeets(p, c, d, v, a, b)) || (parted(sa, sb) && lineMeets(p, a, b, v, c, d));
}

/** Triangles on the edge (a, b) with their third corners on the same side of it, in one plane. */
function isFolded(p: Points, a: number, b: number, c: number, d: number): boolean {
  if (planeSide(p, a, b, c, d) !== 0) return false;
  const axis = plainestAxis(p, a, b, c);
  const left = turn(p, axis, a, b, c) > 0;
  const otherLeft = turn(p, axis, a, b, d) > 0;
  return left === otherLeft;
}

/** The ends of a segment lie on different sides of a plane, or one of them in it; both in it is left to the segment's neighbours. */
function parted(from: number, to: number): boolean {
  return (from <= 0 && to >= 0 && from !== to) || (from >= 0 && to <= 0 && from !== to);
}

/** Whether the line through u and w, which is not in the plane of a, b, c, meets that triangle. */
function lineMeets(p: Points, u: number, w: number, a: number, b: number, c: number): boolean {
  const sab = planeSide(p, u, w, a, b);
  const sbc = planeSide(p, u, w, b, c);
  if ((sab > 0 && sbc < 0) || (sab < 0 && sbc > 0)) return false;
  const sca = planeSide(p, u, w, c, a);
  return (sab >= 0 && sbc >= 0 && sca >= 0) || (sab <= 0 && sbc <= 0 && sca <= 0);
}

function apartMeetInPlane(p: Points, a: number, b: number, c: number, d: number, e: number, f: number): boolean {
  const axis = plainestAxis(p, a, b, c);
  return (
    segmentMeetsInPlane(p, axis, d, e, a, b, c) ||
    segmentMeetsInPlane(p, axis, e, f, a, b, c) ||
    segmentMeetsInPlane(p, axis, f, d, a, b, c) ||
    isInside(p, axis, a, d, e, f)
  );
}

/** Whether the segment (u, w) meets the triangle (a, b, c); all in one plane, seen along an axis. */
function segmentMeetsInPlane(p: Points, axis: number, u: number, w: number, a: number, b: number, c: number): boolean {
  return (
    segmentsMeet(p, axis, u, w, a, b) ||
    segmentsMeet(p, axis, u, w, b, c) ||
    segmentsMeet(p, axis, u, w, c, a) ||
    isInside(p, axis, u, a, b, c)
  );
}

function segmentsMeet(p: Points, axis: number, a: number, b: number, c: number, d: number): boolean {
  const sc = turn(p, axis, a, b, c);
  const sd = turn(p, axis, a, b, d);
  if ((sc > 0 && sd > 0) || (sc < 0 && sd < 0)) return false;
  const sa = turn(p, axis, c, d, a);
  const sb = turn(p, axis, c, d, b);
  if ((sa > 0 && sb > 0) || (sa < 0 && sb < 0)) return false;
  if (sc !== 0 || sd !== 0) return true;
  for (let k = 0; k < 3; k++) {
    if (Math.max(p[a + k]!, p[b + k]!) < Math.min(p[c + k]!, p[d + k]!)) return false;
    if (Math.max(p[c + k]!, p[d + k]!) < Math.min(p[a + k]!, p[b + k]!)) return false;
  }
  return true;
}

function isInside(p: Points, axis: number, u: number, a: number, b: number, c: number): boolean {
  const sab = turn(p, axis, a, b, u);
  const sbc = turn(p, axis, b, c, u);
  const sca = turn(p, axis, c, a, u);
  return (sab >= 0 && sbc >= 0 && sca >= 0) || (sab <= 0 && sbc <= 0 && sca <= 0);
}

/** An axis along which the triangle is seen as a triangle, not as a line; 3 when there is none. */
function plainestAxis(p: Points, a: number, b: number, c: number): number {
  for (let axis = 0; axis < 3; axis++) if (turn(p, axis, a, b, c) !== 0) return axis;
  return 3;
}

/** Positive when a, b, c turn one way, negative the other, 0 on a line; seen along an axis. */
function turn(p: Points, axis: number, a: number, b: number, c: number): number {
  const u = axis === 2 ? 0 : axis + 1;
  const v = axis === 0 ? 2 : axis - 1;
  return orient2d(p[a + u]!, p[a + v]!, p[b + u]!, p[b + v]!, p[c + u]!, p[c + v]!);
}

/** Positive when d lies on one side of the plane of a, b, c, negative on the other, 0 in it. */
export function planeSide(p: Points, a: number, b: number, c: number, d: number): number {
  return orient3d(
    p[a]!,
    p[a + 1]!,
    p[a + 2]!,
    p[b]!,
    p[b + 1]!,
    p[b + 2]!,
    p[c]!,
    p[c + 1]!,
    p[c + 2]!,
    p[d]!,
    p[d + 1]!,
    p[d + 2]!,
  );
}
