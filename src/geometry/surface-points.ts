// Points spread evenly over a surface, for measures that are means over area.
import { randomStream } from '../base/random.ts';
import { type Mesh, numTris } from '../mesh/mesh.ts';

export interface SurfacePoints {
  readonly num: number;
  /** num x 3, mm. */
  readonly points: Float64Array;
  /** num x 3, unit normals of the triangles the points lie on. */
  readonly normals: Float64Array;
  /** num: the triangles. */
  readonly tris: Uint32Array;
}

/** `num` points, one at random in each of `num` equal shares of the area taken in triangle order. Seeded: the same mesh and seed
 *  give the same points, and a turned mesh the same points turned. An area of zero gives no points.
 *  Cost: O(numTris + num), two passes. Weak: shares follow the order of triangles, so they are compact only when that order is. */
export function sampleSurface(mesh: Mesh, num: number, seed: number): SurfacePoints {
  const total = surfaceArea(mesh);
  const count = total > 0 ? num : 0;
  const random = randomStream(seed);
  const out = {
    num: count,
    points: new Float64Array(count * 3),
    normals: new Float64Array(count * 3),
    tris: new Uint32Array(count),
  };
  let before = 0;
  let next = 0;
  let due = random() / count;
  for (let tri = 0; tri < numTris(mesh) && next < count; tri++) {
    const area = areaAndNormal(mesh, tri);
    while (next < count && due * total <= before + area && area > 0) {
      placePoint(mesh, tri, next, out, random);
      next++;
      due = (next + random()) / count;
    }
    before += area;
  }
  return next === count ? out : shortened(out, next);
}

const normal = new Float64Array(3);

/** Area in mm2; leaves the unit normal in `normal`. */
function areaAndNormal(mesh: Mesh, tri: number): number {
  const { positions: p, triangles: t } = mesh;
  const a = t[tri * 3]! * 3;
  const b = t[tri * 3 + 1]! * 3;
  const c = t[tri * 3 + 2]! * 3;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  if (length > 0) {
    normal[0] = nx / length;
    normal[1] = ny / length;
    normal[2] = nz / length;
  }
  return length / 2;
}

function surfaceArea(mesh: Mesh): number {
  let sum = 0;
  for (let tri = 0; tri < numTris(mesh); tri++) sum += areaAndNormal(mesh, tri);
  return sum;
}

function placePoint(mesh: Mesh, tri: number, at: number, out: SurfacePoints, random: () => number): void {
  const { positions: p, triangles: t } = mesh;
  const root = Math.sqrt(random());
  const v = random() * root;
  const u = 1 - root;
  const w = 1 - u - v;
  for (let c = 0; c < 3; c++) {
    out.points[at * 3 + c] =
      u * p[t[tri * 3]! * 3 + c]! + v * p[t[tri * 3 + 1]! * 3 + c]! + w * p[t[tri * 3 + 2]! * 3 + c]!;
    out.normals[at * 3 + c] = normal[c]!;
  }
  out.tris[at] = tri;
}

/** Rounding in the running sum can leave the last points unplaced. */
function shortened(out: SurfacePoints, num: number): SurfacePoints {
  return {
    num,
    points: out.points.slice(0, num * 3),
    normals: out.normals.slice(0, num * 3),
    tris: out.tris.slice(0, num),
  };
}
