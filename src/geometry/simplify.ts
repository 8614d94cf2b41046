// Fewer triangles, same solid: a closed surface stays closed, keeps its handles and its sharp edges.
import { invariant } from '../base/invariant.ts';
import { QUIET_WORK, type Work } from '../base/work.ts';
import { halfEdges, nextHalfEdge, previousHalfEdge } from '../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numTris, numVerts } from '../mesh/mesh.ts';
import { IndexedHeap } from './edge-heap.ts';

export interface SimplifyOptions {
  /** Stop at so many triangles. */
  readonly triangles: number;
  /** Make no collapse whose mean distance (root of mean square) from the planes it replaces exceeds this, mm. */
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
  const state = start(mesh, options.mostMm ?? Infinity);
  const surplus = numTris(mesh) - options.triangles;
  for (let taken = 0; taken < surplus; ) {
    const h = state.heap.take();
    if (h === NONE) break;
    if ((taken & 0x1fff) === 0) work.tick(taken / surplus, 'simplifying');
    if (collapse(state, h)) taken += 2;
  }
  return packed(state);
}

/** Numbers per quadric: xx xy xz yy yz zz (sums of w n n'), x y z (of w d n), and of w d^2, for planes n . p + d = 0 of weight w. */
const QUADRIC = 10;
/** Cost per mm2 of squared edge length: in flat places short edges go first, which keeps triangles even. */
const EVENNESS = 2e-4;
/** Pull toward the middle of the edge, as a share of the planes' weight: decides where they leave the place open. */
const PULL = 0.002;
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
  /** Mean area of a triangle at the start, mm2. */
  readonly unitArea: number;
  /** Largest mean of squared distances from the planes that a collapse may leave, mm2. */
  readonly mostSquared: number;
}

function start(mesh: Mesh, mostMm: number): State {
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
    mostSquared: mostMm * mostMm,
  };
  for (let h = 0; h < state.twins.length; h++) if (h < state.twins[h]!) state.heap.set(h, costOf(state, h));
  return state;
}

/** Per vertex the planes of its triangles, each weighted by a third of its area. */
function planesOf({ positions: p, triangles }: Mesh): { quadrics: Float64Array; area: number } {
  const quadrics = new Float64Array((p.length / 3) * QUADRIC);
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
    const nx = x / twice;
    const ny = y / twice;
    const nz = z / twice;
    const d = -(nx * p[a]! + ny * p[a + 1]! + nz * p[a + 2]!);
    const w = twice / 6;
    area += twice / 2;
    for (let corner = 0; corner < 3; corner++) {
      const q = triangles[t + corner]! * QUADRIC;
      quadrics[q]! += w * nx * nx;
      quadrics[q + 1]! += w * nx * ny;
      quadrics[q + 2]! += w * nx * nz;
      quadrics[q + 3]! += w * ny * ny;
      quadrics[q + 4]! += w * ny * nz;
      quadrics[q + 5]! += w * nz * nz;
      quadrics[q + 6]! += w * nx * d;
      quadrics[q + 7]! += w * ny * d;
      quadrics[q + 8]! += w * nz * d;
      quadrics[q + 9]! += w * d * d;
    }
  }
  return { quadrics, area };
}

/** Cost of collapsing h; leaves the best place in state.point and the joint quadric in state.sum. One kernel: it is asked several
 *  times a collapse. The place is the least of the joint quadric with a slight pull to the middle of the edge, and the middle
 *  itself where that would lie farther off than the edge is long. */
function costOf(state: State, h: number): number {
  const { triangles, positions: p, quadrics: q, sum, point } = state;
  const a = triangles[h]!;
  const b = triangles[nextHalfEdge(h)]!;
  const [i, j] = [a * QUADRIC, b * QUADRIC];
  const xx = q[i]! + q[j]!;
  const xy = q[i + 1]! + q[j + 1]!;
  const xz = q[i + 2]! + q[j + 2]!;
  const yy = q[i + 3]! + q[j + 3]!;
  const yz = q[i + 4]! + q[j + 4]!;
  const zz = q[i + 5]! + q[j + 5]!;
  const dx = q[i + 6]! + q[j + 6]!;
  const dy = q[i + 7]! + q[j + 7]!;
  const dz = q[i + 8]! + q[j + 8]!;
  const dd = q[i + 9]! + q[j + 9]!;
  const mx = (p[a * 3]! + p[b * 3]!) / 2;
  const my = (p[a * 3 + 1]! + p[b * 3 + 1]!) / 2;
  const mz = (p[a * 3 + 2]! + p[b * 3 + 2]!) / 2;
  const ex = p[a * 3]! - p[b * 3]!;
  const ey = p[a * 3 + 1]! - p[b * 3 + 1]!;
  const ez = p[a * 3 + 2]! - p[b * 3 + 2]!;
  const squared = ex * ex + ey * ey + ez * ez;
  const pull = PULL * (xx + yy + zz);
  const rx = -(xx * mx + xy * my + xz * mz + dx);
  const ry = -(xy * mx + yy * my + yz * mz + dy);
  const rz = -(xz * mx + yz * my + zz * mz + dz);
  const px = xx + pull;
  const py = yy + pull;
  const pz = zz + pull;
  const cxx = py * pz - yz * yz;
  const cxy = xz * yz - xy * pz;
  const cxz = xy * yz - xz * py;
  const det = px * cxx + xy * cxy + xz * cxz;
  const cyz = xy * xz - px * yz;
  let sx = (cxx * rx + cxy * ry + cxz * rz) / det;
  let sy = (cxy * rx + (px * pz - xz * xz) * ry + cyz * rz) / det;
  let sz = (cxz * rx + cyz * ry + (px * py - xy * xy) * rz) / det;
  if (!(sx * sx + sy * sy + sz * sz <= squared)) sx = sy = sz = 0;
  const x = mx + sx;
  const y = my + sy;
  const z = mz + sz;
  const off = x * (xx * x + 2 * (xy * y + xz * z + dx)) + y * (yy * y + 2 * (yz * z + dy)) + z * (zz * z + 2 * dz) + dd;
  point[0] = x;
  point[1] = y;
  point[2] = z;
  sum[0] = xx;
  sum[1] = xy;
  sum[2] = xz;
  sum[3] = yy;
  sum[4] = yz;
  sum[5] = zz;
  sum[6] = dx;
  sum[7] = dy;
  sum[8] = dz;
  sum[9] = dd;
  return (off > 0 ? off : 0) + EVENNESS * squared * state.unitArea;
}

/** True when the edge was collapsed; false when the surface does not allow it (the edge may come back when its surroundings change). */
function collapse(state: State, h: number): boolean {
  const { twins, triangles, positions, leaving, quadrics, sum, point } = state;
  const twin = twins[h]!;
  const a = triangles[h]!;
  const b = triangles[twin]!;
  if (!linkHolds(state, h)) return false;
  const cost = costOf(state, h);
  if (cost > state.mostSquared * (sum[0]! + sum[3]! + sum[5]!)) return false;
  if (!shapesHold(state, h) || !shapesHold(state, twin)) return false;
  for (let c = 0; c < 3; c++) positions[a * 3 + c] = point[c]!;
  for (let i = 0; i < QUADRIC; i++) quadrics[a * QUADRIC + i] = sum[i]!;
  for (let out = twin; ; ) {
    triangles[out] = a;
    out = twins[previousHalfEdge(out)]!;
    if (out === twin) break;
  }
  closeSide(state, h);
  closeSide(state, twin);
  leaving[b] = NONE;
  recost(state, leaving[a]!);
  return true;
}

/** Takes the triangle of `side` out and joins the two edges that it leaves. */
function closeSide(state: State, side: number): void {
  const { twins, triangles, leaving, gone, heap } = state;
  const next = nextHalfEdge(side);
  const last = previousHalfEdge(side);
  const x = twins[next]!;
  const y = twins[last]!;
  heap.remove(Math.min(side, twins[side]!));
  heap.remove(Math.min(next, x));
  heap.remove(Math.min(last, y));
  twins[x] = y;
  twins[y] = x;
  gone[(side / 3) | 0] = 1;
  // The third corner and the joined vertex may have been left by a half-edge of the triangle that is gone.
  leaving[triangles[x]!] = x;
  leaving[triangles[y]!] = y;
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
    if (out !== nextHalfEdge(far) && !keepsSide(positions, triangles, out, point)) return false;
    out = twins[previousHalfEdge(out)]!;
  }
  return true;
}

/** Whether the triangle of `out` may have its corner there moved to `to`. */
function keepsSide(p: Float64Array, triangles: Uint32Array, out: number, to: Float64Array): boolean {
  const v = triangles[out]! * 3;
  const b = triangles[nextHalfEdge(out)]! * 3;
  const c = triangles[previousHalfEdge(out)]! * 3;
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
  // Sums of squared edges: |e|^2 + |n|^2 + |n - e|^2.
  const dotN = nx * ex + ny * ey + nz * ez;
  const squaresAfter = 2 * (e2 + nx * nx + ny * ny + nz * nz - dotN);
  if (SHAPE * after > LEAST_SHAPE * squaresAfter) return true;
  const dotO = ox * ex + oy * ey + oz * ez;
  const squaresBefore = 2 * (e2 + ox * ox + oy * oy + oz * oz - dotO);
  return after * squaresBefore >= before * squaresAfter;
}

/** Turns twice the area over the sum of squared edges into 1 for an equilateral triangle. */
const SHAPE = 2 * Math.sqrt(3);

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
