// A closed mesh made ready for asking how deep a point lies in it: boxes, rays and nearest points by a library that is not the engine's.
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three';
import { type HitPointInfo, MeshBVH } from 'three-mesh-bvh';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';

export interface CollisionBody {
  readonly positions: Float64Array;
  /** In the order of the tree, not of the mesh. */
  readonly triangles: Uint32Array;
  readonly tree: MeshBVH;
  /** Triangles of vertex v: corners[cornersOf[v]] to corners[cornersOf[v + 1]]. */
  readonly cornersOf: Uint32Array;
  readonly corners: Uint32Array;
  /** One vertex of every connected part. */
  readonly anyOfPart: readonly number[];
}

/** Nearer to the surface a point is on it: single precision of the library over a few hundred millimetres. */
export const ON_SURFACE_MM = 1e-3;

/** Cost: O(n log n), about a second for 200 thousand triangles; build it once. Vertices have to be shared by index. */
export function collisionBody({ positions, triangles: given }: Mesh): CollisionBody {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions), 3));
  const triangles = Uint32Array.from(given);
  geometry.setIndex(new BufferAttribute(triangles, 1));
  const tree = new MeshBVH(geometry, { targetLeafSize: 4 });
  const cornersOf = new Uint32Array(positions.length / 3 + 1);
  for (const v of triangles) cornersOf[v + 1]!++;
  for (let v = 1; v < cornersOf.length; v++) cornersOf[v] = cornersOf[v]! + cornersOf[v - 1]!;
  const next = cornersOf.slice();
  const corners = new Uint32Array(triangles.length);
  triangles.forEach((v, corner) => {
    corners[next[v]!++] = Math.floor(corner / 3);
  });
  const body = { positions, triangles, tree, cornersOf, corners };
  return { ...body, anyOfPart: firstOfParts(body) };
}

/** Vertices that share a triangle with v, v among them, some twice. */
export function neighbours(
  { triangles, cornersOf, corners }: Pick<CollisionBody, 'triangles' | 'cornersOf' | 'corners'>,
  v: number,
): number[] {
  const out: number[] = [];
  for (let i = cornersOf[v]!; i < cornersOf[v + 1]!; i++)
    for (let k = 0; k < 3; k++) out.push(triangles[corners[i]! * 3 + k]!);
  return out;
}

function firstOfParts(body: Pick<CollisionBody, 'positions' | 'triangles' | 'cornersOf' | 'corners'>): number[] {
  const seen = new Uint8Array(body.positions.length / 3);
  const firsts: number[] = [];
  for (let first = 0; first < seen.length; first++) {
    if (seen[first] === 1 || body.cornersOf[first] === body.cornersOf[first + 1]) continue;
    firsts.push(first);
    seen[first] = 1;
    const open = [first];
    for (let v = open.pop(); v !== undefined; v = open.pop()) {
      for (const other of neighbours(body, v)) {
        if (seen[other] === 1) continue;
        seen[other] = 1;
        open.push(other);
      }
    }
  }
  return firsts;
}

const ray = new Ray();
const found: HitPointInfo = { point: new Vector3(), distance: 0, faceIndex: 0 };
const asked = new Vector3();

/** To the surface; exact when it is more than `fromMm`, else some distance that is not. */
export function distanceTo({ tree }: CollisionBody, [x, y, z]: Vec3, fromMm: number): number {
  return tree.closestPointToPoint(asked.set(x, y, z), found, fromMm)!.distance;
}

/** Along no edge that anyone draws. */
const WAYS: readonly Vec3[] = [
  [0.4871, 0.6113, 0.6237],
  [-0.7321, 0.2917, 0.6156],
  [0.1933, -0.8317, 0.5204],
];

/** Whether more surfaces are left than entered along most of three rays. */
export function isInside(body: CollisionBody, [x, y, z]: Vec3): boolean {
  let votes = 0;
  for (const way of WAYS) {
    ray.origin.set(x, y, z);
    ray.direction.set(...way).normalize();
    let left = 0;
    for (const { faceIndex } of body.tree.raycast(ray, DoubleSide)) left += isLeaving(body, faceIndex!, way) ? 1 : -1;
    if (left > 0) votes++;
  }
  return votes >= 2;
}

function isLeaving({ positions: p, triangles: t }: CollisionBody, tri: number, way: Vec3): boolean {
  const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  return (uy * vz - uz * vy) * way[0] + (uz * vx - ux * vz) * way[1] + (ux * vy - uy * vx) * way[2] > 0;
}

/** Whether the solid angles of all triangles add up to a whole turn (van Oosterom, Strackee 1983): slow and sure. */
export function isSurelyInside({ positions: p, triangles: t }: CollisionBody, [x, y, z]: Vec3): boolean {
  let sum = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [t[i]! * 3, t[i + 1]! * 3, t[i + 2]! * 3];
    const [ax, ay, az] = [p[a]! - x, p[a + 1]! - y, p[a + 2]! - z];
    const [bx, by, bz] = [p[b]! - x, p[b + 1]! - y, p[b + 2]! - z];
    const [cx, cy, cz] = [p[c]! - x, p[c + 1]! - y, p[c + 2]! - z];
    const [la, lb, lc] = [Math.hypot(ax, ay, az), Math.hypot(bx, by, bz), Math.hypot(cx, cy, cz)];
    const spat = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
    const under =
      la * lb * lc +
      (ax * bx + ay * by + az * bz) * lc +
      (bx * cx + by * cy + bz * cz) * la +
      (cx * ax + cy * ay + cz * az) * lb;
    sum += 2 * Math.atan2(spat, under);
  }
  return sum > 2 * Math.PI;
}
