// One triangle cut up along lines drawn on it: a constrained Delaunay triangulation small enough to do thousands of.
import { incircle, orient2d } from 'robust-predicates';
import { NONE } from '../../../mesh/mesh.ts';

/** What lies on a triangle with corners 0, 1, 2 (counter-clockwise). Points are named by their place in `points`. */
export interface DrawnTriangle {
  /** numPoints x 2. */
  readonly points: ArrayLike<number>;
  /** Points on the side from corner k to the next, in that order; taken to lie on it, whatever rounding says. */
  readonly onSides: readonly [ArrayLike<number>, ArrayLike<number>, ArrayLike<number>];
  readonly inside: ArrayLike<number>;
  /** Pairs of points to be joined. */
  readonly lines: ArrayLike<number>;
}

export interface CutTriangle {
  /** Corners of the parts, counter-clockwise. */
  readonly triangles: readonly number[];
  /** Lines and points that could not be drawn, because rounding made them cross another or fall outside. */
  readonly undrawn: number;
}

/** Cuts the triangle so that every point is a corner and every line a chain of edges. Cost: O(k) a point and a line for k points.
 *  Method: points one by one with Lawson's flips, lines by flipping what crosses them (Sloan 1993), exact signs throughout. */
export function cutTriangle(drawn: DrawnTriangle): CutTriangle {
  const plane: Plane = {
    points: drawn.points,
    corner: [0, 1, 2],
    beside: [NONE, NONE, NONE],
    fixed: [0, 0, 0],
    triOf: [0, 0, 0],
  };
  for (let side = 0; side < 3; side++) {
    const end = (side + 1) % 3;
    let last = side;
    for (let i = 0; i < drawn.onSides[side]!.length; i++) {
      const point = drawn.onSides[side]![i]!;
      splitSide(plane, edgeBetween(plane, last, end), point);
      last = point;
    }
  }
  legaliseAll(plane);
  let undrawn = 0;
  for (let i = 0; i < drawn.inside.length; i++) if (!insertPoint(plane, drawn.inside[i]!)) undrawn++;
  for (let i = 0; i < drawn.lines.length; i += 2)
    if (!drawLine(plane, drawn.lines[i]!, drawn.lines[i + 1]!, 0)) undrawn++;
  legaliseAll(plane);
  return { triangles: plane.corner, undrawn };
}

/** Edge 3 * tri + k runs from corner k of the triangle to the next. */
interface Plane {
  readonly points: ArrayLike<number>;
  readonly corner: number[];
  /** Per edge: the same edge seen from the other triangle, or NONE on the outline. */
  readonly beside: number[];
  /** Per edge: 1 when a line runs there. */
  readonly fixed: number[];
  /** Per point: a triangle at it. */
  readonly triOf: number[];
}

const next = (edge: number): number => (edge % 3 === 2 ? edge - 2 : edge + 1);
const before = (edge: number): number => (edge % 3 === 0 ? edge + 2 : edge - 1);

function turn({ points: p }: Plane, a: number, b: number, c: number): number {
  // the library looks at a plane whose second axis points down
  return -orient2d(p[2 * a]!, p[2 * a + 1]!, p[2 * b]!, p[2 * b + 1]!, p[2 * c]!, p[2 * c + 1]!);
}

/** The edge from one point to another, or NONE. */
function edgeBetween(plane: Plane, from: number, to: number): number {
  const start = edgeFrom(plane, from);
  let edge = start;
  do {
    if (plane.corner[next(edge)] === to) return edge;
    const other = plane.beside[before(edge)]!;
    if (other === NONE) break;
    edge = other;
  } while (edge !== start);
  // the other way round: an outline was met
  edge = start;
  while (plane.beside[edge] !== NONE) {
    edge = next(plane.beside[edge]!);
    if (edge === start) return NONE;
    if (plane.corner[next(edge)] === to) return edge;
  }
  return NONE;
}

function edgeFrom(plane: Plane, point: number): number {
  const tri = plane.triOf[point]! * 3;
  return plane.corner[tri] === point ? tri : plane.corner[tri + 1] === point ? tri + 1 : tri + 2;
}

function join(plane: Plane, edge: number, other: number): void {
  plane.beside[edge] = other;
  if (other !== NONE) plane.beside[other] = edge;
}

function setTriangle(plane: Plane, tri: number, corners: readonly [number, number, number]): void {
  for (let k = 0; k < 3; k++) {
    plane.corner[3 * tri + k] = corners[k]!;
    plane.fixed[3 * tri + k] = 0;
    plane.triOf[corners[k]!] = tri;
  }
}

function fix(plane: Plane, edge: number, fixed: number): void {
  plane.fixed[edge] = fixed;
  if (plane.beside[edge] !== NONE) plane.fixed[plane.beside[edge]!] = fixed;
}

/** A point on an edge of the outline. */
function splitSide(plane: Plane, edge: number, point: number): void {
  const tri = Math.trunc(edge / 3);
  const [a, b, c] = [plane.corner[edge]!, plane.corner[next(edge)]!, plane.corner[before(edge)]!];
  const besideBc = plane.beside[next(edge)]!;
  const besideCa = plane.beside[before(edge)]!;
  const fresh = plane.corner.length / 3;
  setTriangle(plane, tri, [a, point, c]);
  setTriangle(plane, fresh, [point, b, c]);
  join(plane, 3 * tri, NONE);
  join(plane, 3 * fresh, NONE);
  join(plane, 3 * tri + 1, 3 * fresh + 2);
  join(plane, 3 * tri + 2, besideCa);
  join(plane, 3 * fresh + 1, besideBc);
}

/** False when the point lies outside. No line has been drawn yet. */
function insertPoint(plane: Plane, point: number): boolean {
  const tri = locate(plane, point);
  if (tri === NONE) return false;
  const at = 3 * tri;
  const [a, b, c] = [plane.corner[at]!, plane.corner[at + 1]!, plane.corner[at + 2]!];
  const beside = [plane.beside[at]!, plane.beside[at + 1]!, plane.beside[at + 2]!] as const;
  const second = plane.corner.length / 3;
  const third = second + 1;
  setTriangle(plane, tri, [a, b, point]);
  setTriangle(plane, second, [b, c, point]);
  setTriangle(plane, third, [c, a, point]);
  join(plane, 3 * tri, beside[0]);
  join(plane, 3 * second, beside[1]);
  join(plane, 3 * third, beside[2]);
  join(plane, 3 * tri + 1, 3 * second + 2);
  join(plane, 3 * second + 1, 3 * third + 2);
  join(plane, 3 * third + 1, 3 * tri + 2);
  legalise(plane, [3 * tri, 3 * second, 3 * third]);
  return true;
}

/** The triangle that a point lies in or on the edge of; NONE outside. */
function locate(plane: Plane, point: number): number {
  let tri = plane.corner.length / 3 - 1;
  for (let step = 0; step < plane.corner.length; step++) {
    let edge = NONE;
    for (let k = 0; k < 3 && edge === NONE; k++) {
      const at = 3 * tri + ((k + step) % 3);
      if (turn(plane, plane.corner[at]!, plane.corner[next(at)]!, point) < 0) edge = at;
    }
    if (edge === NONE) return tri;
    if (plane.beside[edge] === NONE) break;
    tri = Math.trunc(plane.beside[edge]! / 3);
  }
  for (tri = 0; tri < plane.corner.length / 3; tri++) {
    let inside = true;
    for (let at = 3 * tri; at < 3 * tri + 3 && inside; at++)
      inside = turn(plane, plane.corner[at]!, plane.corner[next(at)]!, point) >= 0;
    if (inside) return tri;
  }
  return NONE;
}

/** Whether the two triangles on an edge make a quadrangle whose other diagonal lies inside. */
function isConvex(plane: Plane, edge: number): boolean {
  const other = plane.beside[edge]!;
  const [a, b] = [plane.corner[edge]!, plane.corner[next(edge)]!];
  const [c, d] = [plane.corner[before(edge)]!, plane.corner[before(other)]!];
  return turn(plane, c, a, d) > 0 && turn(plane, d, b, c) > 0;
}

/** Replaces an edge by the other diagonal. The new edge is number before(edge) of its triangle. */
function flip(plane: Plane, edge: number): void {
  const other = plane.beside[edge]!;
  const [tri, second] = [Math.trunc(edge / 3), Math.trunc(other / 3)];
  const [a, b] = [plane.corner[edge]!, plane.corner[next(edge)]!];
  const [c, d] = [plane.corner[before(edge)]!, plane.corner[before(other)]!];
  const outer = [before(edge), next(other), before(other), next(edge)].map((e) => ({
    beside: plane.beside[e]!,
    fixed: plane.fixed[e]!,
  }));
  // (c, a), (a, d) round the first; (d, b), (b, c) round the second
  setTriangle(plane, tri, [c, a, d]);
  setTriangle(plane, second, [d, b, c]);
  const places = [3 * tri, 3 * tri + 1, 3 * second, 3 * second + 1];
  for (let k = 0; k < 4; k++) {
    join(plane, places[k]!, outer[k]!.beside);
    fix(plane, places[k]!, outer[k]!.fixed);
  }
  join(plane, 3 * tri + 2, 3 * second + 2);
}

/** Lawson's flips, beginning with the edges named. An edge through which a point fell (a triangle without area) is always flipped. */
function legalise(plane: Plane, edges: number[]): void {
  const { points: p, corner } = plane;
  for (let edge = edges.pop(); edge !== undefined; edge = edges.pop()) {
    const other = plane.beside[edge]!;
    if (other === NONE || plane.fixed[edge] === 1) continue;
    const [a, b] = [corner[edge]!, corner[next(edge)]!];
    const [c, d] = [corner[before(edge)]!, corner[before(other)]!];
    if (!isConvex(plane, edge)) continue;
    const within = incircle(
      p[2 * a]!,
      p[2 * a + 1]!,
      p[2 * b]!,
      p[2 * b + 1]!,
      p[2 * c]!,
      p[2 * c + 1]!,
      p[2 * d]!,
      p[2 * d + 1]!,
    );
    const flat = turn(plane, a, b, c) === 0 || turn(plane, b, a, d) === 0;
    if (!flat && !(within > 0)) continue;
    flip(plane, edge);
    const [tri, second] = [Math.trunc(edge / 3), Math.trunc(other / 3)];
    edges.push(3 * tri, 3 * tri + 1, 3 * second, 3 * second + 1);
  }
}

function legaliseAll(plane: Plane): void {
  legalise(
    plane,
    plane.corner.map((_, edge) => edge),
  );
}

const DEEPEST = 64;

/** False when the line would cross another line. Points that lie exactly on it become part of it. */
function drawLine(plane: Plane, from: number, to: number, depth: number): boolean {
  if (from === to) return true;
  if (plane.triOf[from] === undefined || plane.triOf[to] === undefined || depth > DEEPEST) return false;
  const there = Math.max(edgeBetween(plane, from, to), edgeBetween(plane, to, from));
  if (there !== NONE) {
    fix(plane, there, 1);
    return true;
  }
  const crossing = edgesAcross(plane, from, to);
  if (crossing === null) return false;
  if (typeof crossing === 'number') return false;
  if (!flipAway(plane, crossing, [from, to])) return false;
  const drawn = edgeBetween(plane, from, to);
  if (drawn === NONE) return false;
  fix(plane, drawn, 1);
  return true;
}

/** Edges crossed by the line, as pairs of points; a point when one lies on the line; null when a drawn line is in the way. */
function edgesAcross(plane: Plane, from: number, to: number): number | [number, number][] | null {
  let edge = leavingEdge(plane, from, to);
  if (edge === NONE) return null;
  const first = plane.corner[edge]!;
  if (turn(plane, from, to, first) === 0 && first !== from) return first;
  if (turn(plane, from, to, plane.corner[next(edge)]!) === 0) return plane.corner[next(edge)]!;
  const out: [number, number][] = [];
  for (let step = 0; step < plane.corner.length; step++) {
    if (plane.fixed[edge] === 1) return null;
    out.push([plane.corner[edge]!, plane.corner[next(edge)]!]);
    const other = plane.beside[edge]!;
    if (other === NONE) return null;
    const apex = plane.corner[before(other)]!;
    if (apex === to) return out;
    const side = turn(plane, from, to, apex);
    if (side === 0) return apex;
    // the line came in between right and left; it goes out between the apex and the one on its other side
    edge = side > 0 ? next(other) : before(other);
  }
  return null;
}

/** Of the edges across from a point, the one through which the line to another leaves its first triangle. */
function leavingEdge(plane: Plane, from: number, to: number): number {
  for (let tri = 0; tri < plane.corner.length / 3; tri++)
    for (let k = 0; k < 3; k++) {
      const edge = 3 * tri + k;
      if (plane.corner[before(edge)] !== from) continue;
      const [right, left] = [plane.corner[edge]!, plane.corner[next(edge)]!];
      const r = turn(plane, from, to, right);
      const l = turn(plane, from, to, left);
      // the triangle is counter-clockwise, so the line passes between with the first corner on its right
      if (r <= 0 && l >= 0 && (r < 0 || l > 0) && isAhead(plane, from, to, r === 0 ? right : l === 0 ? left : NONE))
        return edge;
    }
  return NONE;
}

function isAhead({ points: p }: Plane, from: number, to: number, point: number): boolean {
  if (point === NONE) return true;
  const x = (p[2 * to]! - p[2 * from]!) * (p[2 * point]! - p[2 * from]!);
  const y = (p[2 * to + 1]! - p[2 * from + 1]!) * (p[2 * point + 1]! - p[2 * from + 1]!);
  return x + y > 0;
}

function flipAway(plane: Plane, crossing: [number, number][], [from, to]: readonly [number, number]): boolean {
  let left = 20 + 8 * crossing.length * crossing.length;
  while (crossing.length > 0) {
    if (left-- < 0) return false;
    const pair = crossing.shift()!;
    const edge = edgeBetween(plane, pair[0], pair[1]);
    if (edge === NONE) return false;
    if (!isConvex(plane, edge)) {
      crossing.push(pair);
      continue;
    }
    const ends: [number, number] = [plane.corner[before(edge)]!, plane.corner[before(plane.beside[edge]!)]!];
    flip(plane, edge);
    const touches = ends.includes(from) || ends.includes(to);
    if (!touches && turn(plane, from, to, ends[0]) > 0 !== turn(plane, from, to, ends[1]) > 0) crossing.push(ends);
  }
  return true;
}
