// Fewer triangles, same solid: a closed surface stays closed, keeps its handles and its sharp edges.
import { invariant } from '../base/invariant.ts';
import { QUIET_WORK, type Work } from '../base/work.ts';
import { halfEdges, nextHalfEdge, previousHalfEdge } from '../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numTris, numVerts } from '../mesh/mesh.ts';
import { IndexedHeap } from './edge-heap.ts';
import { addPlane, addQuadric, leastPoint, QUADRIC, quadricAt } from './quadric.ts';

export interface SimplifyOptions {
  /** Stop at so many triangles. */
  readonly triangles: number;
  /** Stop before a collapse whose mean distance from the planes it replaces exceeds this, mm. */
  readonly mostMm?: number;
}

/** Collapses edges, cheapest first, until `triangles` are left or nothing more may collapse. Refuses nothing: the mesh must be a closed
 *  manifold (a bug otherwise) and comes back as one, with the same shells and handles (link condition). Triangles never turn over and no
 *  needles are made. Cost: O(n log n), about 3 microseconds a triangle taken away; 250 bytes a triangle at peak.
 *  Method: quadric error metric (Garland and Heckbert 1997), area-weighted; link condition (Dey et al. 1999);
 *  docs/methods/simplify.md. Weak: the error is a mean over planes, not a bound on the distance of the surfaces; vertices move. */
export function simplifyClosed(mesh: Mesh, options: SimplifyOptions, work: Work = QUIET_WORK): Mesh {
  if (numTris(mesh) <= options.triangles) return mesh;
  work.tick(0, 'preparing to simplify');
  const state = start(mesh);
  const surplus = numTris(mesh) - options.triangles;
  const limit = options.mostMm === undefined ? Infinity : options.mostMm ** 2;
  for (let taken = 0; taken < surplus; ) {
    const h = state.heap.take();
    if (h === NONE || state.heap.keyOf(h) > limit * state.unitArea) break;
    if ((taken & 0x1fff) === 0) work.tick(taken / surplus, 'simplifying');
    if (collapse(state, h)) taken += 2;
  }
  return packed(state);
}

/** Cost per mm2 of squared edge length: in flat places short edges go first, which keeps triangles even. */
const EVENNESS = 2e-4;
/** A triangle's normal may turn by at most this cosine in one collapse. */
const LEAST_TURN = 0.5;
/** 4 sqrt(3) area / sum of squared edges: 1 for an equilateral triangle. Below this a triangle must not get worse. */
const LEAST_SHAPE = 0.12;
/** More triangles than this at one vertex are refused. */
const MOST_FAN = 24;

interface State {
  readonly triangles: Uint32Array;
  readonly twins: Int32Array;
  readonly positions: Float64Array;
  readonly quadrics: Float64Array;
  /** A half-edge that starts at the vertex; NONE when the vertex is gone. */
  readonly leaving: Int32Array;
  readonly gone: Uint8Array;
  readonly heap: IndexedHeap;
  readonly mark: Int32Array;
  readonly point: Float64Array;
  readonly sum: Float64Array;
  /** Mean area of a triangle at the start, to turn limits in mm2 into costs. */
  readonly unitArea: number;
}

function start(mesh: Mesh): State {
  const adjacency = halfEdges(mesh);
  invariant(
    adjacency.openEdges + adjacency.crowdedEdges + adjacency.clashingEdges === 0,
    'only closed surfaces are simplified',
  );
  const leaving = new Int32Array(numVerts(mesh)).fill(NONE);
  for (let h = mesh.triangles.length - 1; h >= 0; h--) leaving[mesh.triangles[h]!] = h;
  const { quadrics, area } = planesOf(mesh);
  const state: State = {
    triangles: mesh.triangles.slice(),
    twins: adjacency.twins,
    positions: mesh.positions.slice(),
    quadrics,
    leaving,
    gone: new Uint8Array(numTris(mesh)),
    heap: new IndexedHeap(mesh.triangles.length, mesh.triangles.length / 2),
    mark: new Int32Array(numVerts(mesh)).fill(NONE),
    point: new Float64Array(3),
    sum: new Float64Array(QUADRIC),
    unitArea: area / numTris(mesh),
  };
  for (let h = 0; h < state.twins.length; h++) if (h < state.twins[h]!) state.heap.set(h, costOf(state, h));
  return state;
}

/** Per vertex the planes of its triangles, each weighted by a third of its area. */
function planesOf({ positions: p, triangles }: Mesh): { quadrics: Float64Array; area: number } {
  const quadrics = new Float64Array((p.length / 3) * QUADRIC);
  const plane = { nx: 0, ny: 0, nz: 0, d: 0, weight: 0 };
  let area = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const twice = Math.sqrt(x * x + y * y + z * z);
    if (!(twice > 0)) continue;
    plane.nx = x / twice;
    plane.ny = y / twice;
    plane.nz = z / twice;
    plane.d = -(plane.nx * p[a]! + plane.ny * p[a + 1]! + plane.nz * p[a + 2]!);
    plane.weight = twice / 6;
    area += twice / 2;
    for (let c = 0; c < 3; c++) addPlane(quadrics, triangles[t + c]! * QUADRIC, plane);
  }
  return { quadrics, area };
}

/** Cost of collapsing h; leaves the best place in state.point and the joint quadric in state.sum. */
function costOf(state: State, h: number): number {
  const { triangles, positions: p, quadrics, sum, point } = state;
  const a = triangles[h]!;
  const b = triangles[nextHalfEdge(h)]!;
  sum.fill(0);
  addQuadric(sum, 0, quadrics, a * QUADRIC);
  addQuadric(sum, 0, quadrics, b * QUADRIC);
  let squared = 0;
  for (let c = 0; c < 3; c++) {
    const step = p[a * 3 + c]! - p[b * 3 + c]!;
    squared += step * step;
    point[c] = (p[a * 3 + c]! + p[b * 3 + c]!) / 2;
  }
  const weight = sum[0]! + sum[3]! + sum[5]!;
  const mid = [point[0]!, point[1]!, point[2]!] as const;
  leastPoint(sum, 0, point, weight * 0.002);
  const moved = (point[0]! - mid[0]) ** 2 + (point[1]! - mid[1]) ** 2 + (point[2]! - mid[2]) ** 2;
  if (moved > squared) for (let c = 0; c < 3; c++) point[c] = mid[c]!;
  return quadricAt(sum, 0, point) + EVENNESS * squared * state.unitArea;
}

/** True when the edge was collapsed; false when the surface does not allow it (the edge may come back when its surroundings change). */
function collapse(state: State, h: number): boolean {
  const { twins, triangles, positions, leaving, gone, quadrics, sum, point, heap } = state;
  const twin = twins[h]!;
  const a = triangles[h]!;
  const b = triangles[twin]!;
  if (!linkHolds(state, h)) return false;
  costOf(state, h);
  if (!shapesHold(state, h) || !shapesHold(state, twin)) return false;
  for (let c = 0; c < 3; c++) positions[a * 3 + c] = point[c]!;
  for (let i = 0; i < QUADRIC; i++) quadrics[a * QUADRIC + i] = sum[i]!;
  for (let out = twin; ; ) {
    triangles[out] = a;
    out = twins[previousHalfEdge(out)]!;
    if (out === twin) break;
  }
  for (const side of [h, twin]) {
    const next = nextHalfEdge(side);
    const last = previousHalfEdge(side);
    for (const e of [side, next, last]) heap.remove(Math.min(e, twins[e]!));
    const [x, y] = [twins[next]!, twins[last]!];
    twins[x] = y;
    twins[y] = x;
    gone[Math.trunc(side / 3)] = 1;
    // The third corner and the joined vertex may have been left by a half-edge of the triangle that is gone.
    leaving[triangles[x]!] = x;
    leaving[triangles[y]!] = y;
  }
  leaving[b] = NONE;
  recost(state, leaving[a]!);
  return true;
}

function recost(state: State, first: number): void {
  const { twins, heap } = state;
  for (let out = first; ; ) {
    heap.set(Math.min(out, twins[out]!), costOf(state, out));
    out = twins[previousHalfEdge(out)]!;
    if (out === first) break;
  }
}

/** The ends share exactly the two vertices opposite the edge, and each of those keeps at least three triangles. */
function linkHolds(state: State, h: number): boolean {
  const { triangles, twins, mark } = state;
  const twin = twins[h]!;
  let fan = 0;
  for (let out = h; ; ) {
    mark[triangles[nextHalfEdge(out)]!] = h;
    fan++;
    out = twins[previousHalfEdge(out)]!;
    if (out === h) break;
  }
  let common = 0;
  for (let out = twin; ; ) {
    if (mark[triangles[nextHalfEdge(out)]!] === h) common++;
    fan++;
    out = twins[previousHalfEdge(out)]!;
    if (out === twin) break;
  }
  // The marks are of this edge only as long as it is not asked again; wiped for that.
  for (let out = h; ; ) {
    mark[triangles[nextHalfEdge(out)]!] = NONE;
    out = twins[previousHalfEdge(out)]!;
    if (out === h) break;
  }
  return common === 2 && fan - 4 <= MOST_FAN && fan > 6;
}

/** Whether the triangles round the start of h, but those at the edge itself, keep their side and a decent shape when it moves. */
function shapesHold(state: State, h: number): boolean {
  const { triangles, twins, positions, point } = state;
  const far = twins[h]!;
  for (let out = twins[previousHalfEdge(h)]!; out !== h; ) {
    // `out` borders the edge's own other triangle when it is the half-edge after the twin.
    if (out !== nextHalfEdge(far)) {
      const v = triangles[out]! * 3;
      const b = triangles[nextHalfEdge(out)]! * 3;
      const c = triangles[previousHalfEdge(out)]! * 3;
      if (!keepsSide(positions, point, { v, b, c })) return false;
    }
    out = twins[previousHalfEdge(out)]!;
  }
  return true;
}

function keepsSide(p: Float64Array, to: Float64Array, at: { v: number; b: number; c: number }): boolean {
  const { v, b, c } = at;
  const ex = p[c]! - p[b]!;
  const ey = p[c + 1]! - p[b + 1]!;
  const ez = p[c + 2]! - p[b + 2]!;
  const ox = p[v]! - p[b]!;
  const oy = p[v + 1]! - p[b + 1]!;
  const oz = p[v + 2]! - p[b + 2]!;
  const nx = to[0]! - p[b]!;
  const ny = to[1]! - p[b + 1]!;
  const nz = to[2]! - p[b + 2]!;
  const ax = ey * oz - ez * oy;
  const ay = ez * ox - ex * oz;
  const az = ex * oy - ey * ox;
  const bx = ey * nz - ez * ny;
  const by = ez * nx - ex * nz;
  const bz = ex * ny - ey * nx;
  const before = Math.sqrt(ax * ax + ay * ay + az * az);
  const after = Math.sqrt(bx * bx + by * by + bz * bz);
  if (ax * bx + ay * by + az * bz < LEAST_TURN * before * after || after === 0) return false;
  const e2 = ex * ex + ey * ey + ez * ez;
  const shapeAfter = shapeOf(after, e2, [nx, ny, nz, ex, ey, ez]);
  return shapeAfter > LEAST_SHAPE || shapeAfter >= shapeOf(before, e2, [ox, oy, oz, ex, ey, ez]);
}

function shapeOf(
  twiceArea: number,
  e2: number,
  [x, y, z, ex, ey, ez]: readonly [number, number, number, number, number, number],
): number {
  const squares = e2 + x * x + y * y + z * z + (x - ex) ** 2 + (y - ey) ** 2 + (z - ez) ** 2;
  return (2 * Math.sqrt(3) * twiceArea) / squares;
}

function packed(state: State): Mesh {
  const { triangles, gone, positions, leaving } = state;
  const newVert = new Int32Array(leaving.length).fill(NONE);
  let verts = 0;
  for (let v = 0; v < leaving.length; v++) if (leaving[v] !== NONE) newVert[v] = verts++;
  const places = new Float64Array(verts * 3);
  for (let v = 0; v < newVert.length; v++) {
    const to = newVert[v]!;
    if (to !== NONE) for (let c = 0; c < 3; c++) places[to * 3 + c] = positions[v * 3 + c]!;
  }
  let kept = 0;
  for (let t = 0; t < gone.length; t++) if (gone[t] === 0) kept++;
  const corners = new Uint32Array(kept * 3);
  let n = 0;
  for (let t = 0; t < gone.length; t++) {
    if (gone[t] === 1) continue;
    for (let c = 0; c < 3; c++) corners[n++] = newVert[triangles[t * 3 + c]!]!;
  }
  return meshOf(places, corners);
}
