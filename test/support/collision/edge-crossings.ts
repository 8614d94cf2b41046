// Where edges of two meshes pass through each other's triangles: in double precision, on pairs that a tree of boxes brings.
import { Matrix4 } from 'three';
import { type Transform, transformPositions } from '../../../src/mesh/transform.ts';
import type { CollisionBody } from './collision-body.ts';

interface CrossedEdge {
  readonly from: number;
  readonly to: number;
  /** Shares of the way from `from` to `to`. */
  readonly at: number[];
}

/** By a number that is one for each edge. */
export type EdgeCrossings = ReadonlyMap<number, CrossedEdge>;

export interface Crossings {
  readonly ofA: EdgeCrossings;
  readonly ofB: EdgeCrossings;
  /** Triangles whose box meets that of a triangle of the other, touching included. */
  readonly nearA: ReadonlySet<number>;
  readonly nearB: ReadonlySet<number>;
}

/** Boxes that are farther apart do not touch; the library's are in single precision. */
const TOUCH_MM = 1e-4;

/** An edge that leans out of the plane of a face by no more than this lies in it, and does not pass through. */
const PARALLEL = 1e-9;

type Placed = Pick<CollisionBody, 'positions' | 'triangles'>;

/** Of `a`, brought by `toB` (rigid) into the space of `b`, with `b`. */
export function crossingsOf(a: CollisionBody, b: CollisionBody, toB: Transform): Crossings {
  const [ofA, ofB] = [new Map<number, CrossedEdge>(), new Map<number, CrossedEdge>()];
  const [nearA, nearB] = [new Set<number>(), new Set<number>()];
  nearPairs(a, { host: b, toHost: toB }, (one, other) => {
    nearA.add(one.tri);
    nearB.add(other.tri);
    crossEdges(ofA, one, other);
    crossEdges(ofB, other, one);
    return false;
  });
  return { ofA, ofB, nearA, nearB };
}

/** Whether there is any crossing: stops at the first. */
export function doCross(a: CollisionBody, b: CollisionBody, toB: Transform): boolean {
  return nearPairs(a, { host: b, toHost: toB }, (one, other) => {
    const found = new Map<number, CrossedEdge>();
    crossEdges(found, one, other);
    crossEdges(found, other, one);
    return found.size > 0;
  });
}

/** Triangles whose boxes meet, until `visit` says to stop. */
function nearPairs(
  body: CollisionBody,
  { host, toHost }: { readonly host: CollisionBody; readonly toHost: Transform },
  visit: (one: TriangleOf, other: TriangleOf) => boolean,
): boolean {
  const placed = { triangles: body.triangles, positions: transformPositions(toHost, body.positions) };
  return host.tree.bvhcast(body.tree, matrixOf(toHost), {
    intersectsTriangles: (_host, _body, hostTri, tri) =>
      doBoxesMeet(placed, tri, host, hostTri) && visit({ body: placed, tri }, { body: host, tri: hostTri }),
  });
}

function matrixOf(t: Transform): Matrix4 {
  const row = (c: 0 | 1 | 2): [number, number, number, number] => [t[c]!, t[3 + c]!, t[6 + c]!, t[9 + c]!];
  return new Matrix4(...row(0), ...row(1), ...row(2), 0, 0, 0, 1);
}

function doBoxesMeet(a: Placed, triA: number, b: Placed, triB: number): boolean {
  for (let k = 0; k < 3; k++) {
    const [lowA, highA] = spanOf(a, triA, k);
    const [lowB, highB] = spanOf(b, triB, k);
    if (lowA > highB + TOUCH_MM || lowB > highA + TOUCH_MM) return false;
  }
  return true;
}

function spanOf({ positions: p, triangles: t }: Placed, tri: number, k: number): readonly [number, number] {
  const [a, b, c] = [p[t[tri * 3]! * 3 + k]!, p[t[tri * 3 + 1]! * 3 + k]!, p[t[tri * 3 + 2]! * 3 + k]!];
  return [Math.min(a, b, c), Math.max(a, b, c)];
}

interface TriangleOf {
  readonly body: Placed;
  readonly tri: number;
}

function crossEdges(found: Map<number, CrossedEdge>, edges: TriangleOf, face: TriangleOf): void {
  const { positions: p, triangles: t } = edges.body;
  for (let k = 0; k < 3; k++) {
    const [v, w] = [t[edges.tri * 3 + k]!, t[edges.tri * 3 + ((k + 1) % 3)]!];
    const [from, to] = v < w ? [v, w] : [w, v];
    const at = shareThrough(p, from, to, face);
    if (at === null) continue;
    const key = from * (p.length / 3) + to;
    const edge = found.get(key);
    if (edge === undefined) found.set(key, { from, to, at: [at] });
    else if (!edge.at.includes(at)) edge.at.push(at);
  }
}

/** Where the edge passes through the face, its rim included. Method: Moeller, Trumbore 1997, from -> to as the ray. */
function shareThrough(p: Float64Array, from: number, to: number, { body, tri }: TriangleOf): number | null {
  const { positions: q, triangles: t } = body;
  const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
  const [dx, dy, dz] = [
    p[to * 3]! - p[from * 3]!,
    p[to * 3 + 1]! - p[from * 3 + 1]!,
    p[to * 3 + 2]! - p[from * 3 + 2]!,
  ];
  const [ux, uy, uz] = [q[b]! - q[a]!, q[b + 1]! - q[a + 1]!, q[b + 2]! - q[a + 2]!];
  const [vx, vy, vz] = [q[c]! - q[a]!, q[c + 1]! - q[a + 1]!, q[c + 2]! - q[a + 2]!];
  const [hx, hy, hz] = [dy * vz - dz * vy, dz * vx - dx * vz, dx * vy - dy * vx];
  const det = ux * hx + uy * hy + uz * hz;
  const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  if (Math.abs(det) <= PARALLEL * Math.hypot(dx, dy, dz) * Math.hypot(nx, ny, nz)) return null;
  const [sx, sy, sz] = [p[from * 3]! - q[a]!, p[from * 3 + 1]! - q[a + 1]!, p[from * 3 + 2]! - q[a + 2]!];
  const s = (sx * hx + sy * hy + sz * hz) / det;
  if (s < 0 || s > 1) return null;
  const [kx, ky, kz] = [sy * uz - sz * uy, sz * ux - sx * uz, sx * uy - sy * ux];
  const r = (dx * kx + dy * ky + dz * kz) / det;
  if (r < 0 || s + r > 1) return null;
  const at = (vx * kx + vy * ky + vz * kz) / det;
  return at >= 0 && at <= 1 ? at : null;
}
