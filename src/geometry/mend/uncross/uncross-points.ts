// The points and lines in which the triangles of a surface cross, each found once and shared by all triangles that see it.

import { orient2d } from 'robust-predicates';
import { partOfWork, type Work } from '../../../base/work.ts';
import { type Mesh, NONE, numTris, numVerts } from '../../../mesh/mesh.ts';
import { planeSide } from '../../crossings/triangle-crossing.ts';

/** Where pairs of triangles cross. Points are numbered on from the vertices of the mesh: point numVerts + i is new point i. */
export interface CrossingLines {
  /** New points x 3. */
  readonly positions: readonly number[];
  /** Per pair: the points along its line, from end to end. */
  readonly lines: readonly (readonly number[])[];
  /** Pairs at each triangle: linesOf[linesStart[i]] .. for the i-th of `tris`. */
  readonly tris: Int32Array;
  readonly linesStart: Int32Array;
  readonly linesOf: Int32Array;
  /** New points on the half-edge h of the mesh, in its direction. */
  pointsOn(h: number): readonly number[];
  /** Pairs in special position (touching, in one plane, edge on edge): they have no line. */
  readonly special: readonly number[];
  /** Steps that drawing the lines takes, about: on each triangle its lines times the points on them. */
  readonly effort: number;
}

/** Lines of all pairs that cross in general position. pairs: n x 2 triangles that cross (`selfCrossings`). An end of a line is where
 *  an edge of one goes through the other, decided by exact signs and numbered once per edge and triangle; where three triangles
 *  meet in a point, that point is on the lines of all three pairs. Cost: O(n) and the square of the lines on one triangle. */
export function crossingLines(mesh: Mesh, pairs: Int32Array, work: Work): CrossingLines {
  const find: Finding = { mesh, positions: [], edges: new Map(), pierced: new Map(), ends: [] };
  const special: number[] = [];
  for (let k = 0; k < pairs.length / 2; k++) {
    if ((k & 1023) === 0) work.tick((0.4 * k) / (pairs.length / 2), DOING);
    const ends = lineEnds(find, pairs[2 * k]!, pairs[2 * k + 1]!);
    if (ends === null) special.push(k);
    find.ends.push(ends);
  }
  const { tris, linesStart, linesOf } = pairsByTriangle(pairs, numTris(mesh));
  const lines = find.ends.map((ends): number[] => (ends === null ? [] : [...ends]));
  addTriplePoints(find, pairs, { tris, linesStart, linesOf, lines }, partOfWork(work, 0.4, 0.9));
  for (const line of lines) sortAlong(find, line);
  for (const edge of find.edges.values()) edge.points.sort((a, b) => edge.share.get(a)! - edge.share.get(b)!);
  const pointsOn = (h: number): readonly number[] => {
    const from = mesh.triangles[h]!;
    const to = mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]!;
    const edge = find.edges.get(edgeKey(mesh, from, to));
    if (edge === undefined) return [];
    return from < to ? edge.points : edge.points.toReversed();
  };
  let effort = 0;
  for (let i = 0; i < tris.length; i++) {
    let points = 0;
    for (let at = linesStart[i]!; at < linesStart[i + 1]!; at++) points += lines[linesOf[at]!]!.length;
    effort += points * (linesStart[i + 1]! - linesStart[i]!);
  }
  return { positions: find.positions, lines, tris, linesStart, linesOf, pointsOn, special, effort };
}

/** Pairs of lines: some 20 ms. */
const STEPS_A_TICK = 100_000;
const DOING = 'cutting crossings';

interface CrossedEdge {
  readonly id: number;
  readonly points: number[];
  /** Per point: where along the edge from its smaller to its larger vertex, 0 to 1. */
  readonly share: Map<number, number>;
}

interface Finding {
  readonly mesh: Mesh;
  readonly positions: number[];
  readonly edges: Map<number, CrossedEdge>;
  /** Point by edge * numTris + triangle. */
  readonly pierced: Map<number, number>;
  readonly ends: (readonly [number, number] | null)[];
}

function edgeKey(mesh: Mesh, a: number, b: number): number {
  return Math.min(a, b) * numVerts(mesh) + Math.max(a, b);
}

/** Both ends of the line in which two triangles cross; null in special position. */
function lineEnds(find: Finding, i: number, j: number): readonly [number, number] | null {
  const { triangles } = find.mesh;
  const ends: number[] = [];
  for (let k = 0; k < 3; k++) {
    const v = triangles[3 * i + k]!;
    for (let m = 0; m < 3; m++) if (triangles[3 * j + m] === v) ends.push(v);
  }
  if (ends.length > 1) return null;
  const shared = ends.length === 1 ? ends[0]! : NONE;
  for (const [tri, other] of [
    [i, j],
    [j, i],
  ] as const)
    for (let k = 0; k < 3; k++) {
      const u = triangles[3 * tri + k]!;
      const w = triangles[3 * tri + ((k + 1) % 3)]!;
      if (u === shared || w === shared) continue;
      const pierces = edgePierces(find.mesh, [Math.min(u, w), Math.max(u, w)], other);
      if (pierces === null) return null;
      if (!Number.isNaN(pierces)) ends.push(piercePoint(find, [Math.min(u, w), Math.max(u, w)], other, pierces));
    }
  return ends.length === 2 ? [ends[0]!, ends[1]!] : null;
}

/** Where along the edge it goes through the triangle, 0 to 1; NaN when it does not; null in special position. */
function edgePierces({ positions: p, triangles }: Mesh, [u, w]: readonly [number, number], tri: number): number | null {
  const a = triangles[3 * tri]! * 3;
  const b = triangles[3 * tri + 1]! * 3;
  const c = triangles[3 * tri + 2]! * 3;
  const su = planeSide(p, a, b, c, u * 3);
  const sw = planeSide(p, a, b, c, w * 3);
  if (su === 0 || sw === 0) return null;
  if (su > 0 === sw > 0) return Number.NaN;
  const sab = planeSide(p, u * 3, w * 3, a, b);
  const sbc = planeSide(p, u * 3, w * 3, b, c);
  const sca = planeSide(p, u * 3, w * 3, c, a);
  const some = sab > 0 || sbc > 0 || sca > 0;
  if (some && (sab < 0 || sbc < 0 || sca < 0)) return Number.NaN;
  if (sab === 0 || sbc === 0 || sca === 0) return null;
  return su / (su - sw);
}

function piercePoint(find: Finding, [u, w]: readonly [number, number], tri: number, share: number): number {
  const { mesh, edges, pierced, positions } = find;
  const key = edgeKey(mesh, u, w);
  let edge = edges.get(key);
  if (edge === undefined) {
    edge = { id: edges.size, points: [], share: new Map() };
    edges.set(key, edge);
  }
  const pierceKey = edge.id * numTris(mesh) + tri;
  const known = pierced.get(pierceKey);
  if (known !== undefined) return known;
  const point = numVerts(mesh) + positions.length / 3;
  for (let k = 0; k < 3; k++) {
    const from = mesh.positions[u * 3 + k]!;
    const to = mesh.positions[w * 3 + k]!;
    // from the nearer end, so that a point next to a vertex is exact to that distance
    positions.push(share <= 0.5 ? from + share * (to - from) : to + (1 - share) * (from - to));
  }
  edge.points.push(point);
  edge.share.set(point, share);
  pierced.set(pierceKey, point);
  return point;
}

interface Lines {
  readonly tris: Int32Array;
  readonly linesStart: Int32Array;
  readonly linesOf: Int32Array;
  readonly lines: number[][];
}

function pairsByTriangle(pairs: Int32Array, count: number): Omit<Lines, 'lines'> {
  const place = new Int32Array(count).fill(NONE);
  const tris = Int32Array.from(new Set(pairs)).sort();
  for (let i = 0; i < tris.length; i++) place[tris[i]!] = i;
  const linesStart = new Int32Array(tris.length + 1);
  for (const tri of pairs) linesStart[place[tri]! + 1]!++;
  for (let i = 0; i < tris.length; i++) linesStart[i + 1] = linesStart[i + 1]! + linesStart[i]!;
  const fill = linesStart.slice();
  const linesOf = new Int32Array(pairs.length);
  for (let at = 0; at < pairs.length; at++) linesOf[fill[place[pairs[at]!]!]!++] = at >> 1;
  return { tris, linesStart, linesOf };
}

/** Three triangles that meet in one point: found once, on the first of them, and put on all three lines. */
function addTriplePoints(
  find: Finding,
  pairs: Int32Array,
  { tris, linesStart, linesOf, lines }: Lines,
  work: Work,
): void {
  const { mesh, ends } = find;
  const count = numTris(mesh);
  const pairOf = new Map<number, number>();
  for (let k = 0; k < ends.length; k++) if (ends[k] !== null) pairOf.set(pairs[2 * k]! * count + pairs[2 * k + 1]!, k);
  let steps = 0;
  for (let i = 0; i < tris.length; i++) {
    const tri = tris[i]!;
    const flat = flatView(mesh, tri);
    // pairs are sorted, so those in which this triangle comes first have it as their smaller
    for (let x = linesStart[i]!; x < linesStart[i + 1]!; x++) {
      const first = linesOf[x]!;
      if (pairs[2 * first] !== tri || ends[first] === null) continue;
      steps += linesStart[i + 1]! - x;
      if (steps > STEPS_A_TICK) {
        steps = 0;
        work.tick(i / tris.length, DOING);
      }
      for (let y = x + 1; y < linesStart[i + 1]!; y++) {
        const second = linesOf[y]!;
        if (pairs[2 * second] !== tri || ends[second] === null) continue;
        const [one, two] = [pairs[2 * first + 1]!, pairs[2 * second + 1]!];
        const third = pairOf.get(Math.min(one, two) * count + Math.max(one, two));
        if (third === undefined) continue;
        const point = meetingPoint(find, flat, ends[first]!, ends[second]!);
        if (point !== NONE) for (const k of [first, second, third]) lines[k]!.push(point);
      }
    }
  }
}

/** Pairs of lines that share a triangle, which is what finding where they meet takes; without finding the lines. Cost: O(pairs). */
export function linePairs(pairs: Int32Array, count: number): number {
  const lines = new Int32Array(count);
  let sum = 0;
  // the n-th line on a triangle meets n - 1 others
  for (const tri of pairs) sum += lines[tri]!++;
  return sum;
}

/** Which two of the coordinates show a triangle at its largest, counter-clockwise. */
export function flatView({ positions: p, triangles }: Mesh, tri: number): readonly [number, number] {
  const a = triangles[3 * tri]! * 3;
  const b = triangles[3 * tri + 1]! * 3;
  const c = triangles[3 * tri + 2]! * 3;
  let most = 0;
  let view: readonly [number, number] = [0, 1];
  for (const [u, v] of [
    [0, 1],
    [1, 2],
    [2, 0],
  ] as const) {
    const area = -orient2d(p[a + u]!, p[a + v]!, p[b + u]!, p[b + v]!, p[c + u]!, p[c + v]!);
    if (Math.abs(area) <= most) continue;
    most = Math.abs(area);
    view = area > 0 ? [u, v] : [v, u];
  }
  return view;
}

function coordinate({ mesh, positions }: Finding, point: number, k: number): number {
  const own = point - numVerts(mesh);
  return own < 0 ? mesh.positions[3 * point + k]! : positions[3 * own + k]!;
}

/** The point in which two lines on one triangle cross, as a new point; NONE when they do not, or only at a common end. */
function meetingPoint(
  find: Finding,
  [u, v]: readonly [number, number],
  [a, b]: readonly [number, number],
  [c, d]: readonly [number, number],
): number {
  if (a === c || a === d || b === c || b === d) return NONE;
  const turn = (x: number, y: number, z: number): number =>
    orient2d(
      coordinate(find, x, u),
      coordinate(find, x, v),
      coordinate(find, y, u),
      coordinate(find, y, v),
      coordinate(find, z, u),
      coordinate(find, z, v),
    );
  const [sa, sb] = [turn(c, d, a), turn(c, d, b)];
  if (sa > 0 === sb > 0) return NONE;
  if (turn(a, b, c) > 0 === turn(a, b, d) > 0) return NONE;
  const share = sa / (sa - sb);
  const point = numVerts(find.mesh) + find.positions.length / 3;
  for (let k = 0; k < 3; k++) {
    const from = coordinate(find, a, k);
    find.positions.push(from + share * (coordinate(find, b, k) - from));
  }
  return point;
}

/** Ends stay ends; the points between by their distance along. */
function sortAlong(find: Finding, line: number[]): void {
  if (line.length < 3) return;
  const [from, to] = [line[0]!, line[1]!];
  const along = (point: number): number => {
    let sum = 0;
    for (let k = 0; k < 3; k++)
      sum +=
        (coordinate(find, point, k) - coordinate(find, from, k)) *
        (coordinate(find, to, k) - coordinate(find, from, k));
    return sum;
  };
  const between = line.slice(2).sort((a, b) => along(a) - along(b));
  line.splice(0, line.length, from, ...between, to);
}
