// Where a point lies beside an open sheet: behind it within the wall, behind it beyond the wall, in front, or past its rim.
import type { BoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoints } from '../../../mesh/closest-point.ts';
import { halfEdgeTwins, nextHalfEdge, previousHalfEdge } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE } from '../../../mesh/mesh.ts';
import { unitNormals } from './rebuild-settle.ts';

export const IN_WALL = 0;
export const BEYOND_WALL = 1;
export const IN_FRONT = 2;
export const PAST_RIM = 3;

/** A point asked about, and what was found. One question at a time. */
export interface SheetSide {
  readonly mesh: Mesh;
  readonly tree: BoundingTree;
  /** numTris x 3, unit. */
  readonly normals: Float64Array;
  /** numTris*3 x 3: sum of the normals on both sides of an edge. */
  readonly edgeNormals: Float64Array;
  /** numVerts x 3: normals weighted by angle. */
  readonly vertNormals: Float64Array;
  readonly twins: Int32Array;
  /** numVerts: 1 on the rim. */
  readonly rimVert: Uint8Array;
  readonly point: Float64Array;
  readonly found: { readonly tri: Int32Array; readonly distanceMm: Float64Array; readonly atMm: Float64Array };
}

/** Cost: O(n). Source of the normals: Baerentzen, Aanaes 2005. */
export function sheetSide(mesh: Mesh, tree: BoundingTree): SheetSide {
  const normals = unitNormals(mesh);
  const twins = halfEdgeTwins(mesh);
  const edgeNormals = new Float64Array(mesh.triangles.length * 3);
  const vertNormals = new Float64Array(mesh.positions.length);
  const rimVert = new Uint8Array(mesh.positions.length / 3);
  for (let h = 0; h < mesh.triangles.length; h++) {
    const own = 3 * Math.trunc(h / 3);
    const twin = twins[h]!;
    const angle = angleAt(mesh, h);
    for (let c = 0; c < 3; c++) {
      edgeNormals[h * 3 + c] = normals[own + c]! + (twin === NONE ? 0 : normals[3 * Math.trunc(twin / 3) + c]!);
      vertNormals[mesh.triangles[h]! * 3 + c]! += angle * normals[own + c]!;
    }
    if (twin === NONE) rimVert[mesh.triangles[h]!] = rimVert[mesh.triangles[nextHalfEdge(h)]!] = 1;
  }
  const found = { tri: new Int32Array(1), distanceMm: new Float64Array(1), atMm: new Float64Array(3) };
  return { mesh, tree, normals, edgeNormals, vertNormals, twins, rimVert, point: new Float64Array(3), found };
}

function angleAt({ positions: p, triangles }: Mesh, h: number): number {
  const a = triangles[h]! * 3;
  const b = triangles[nextHalfEdge(h)]! * 3;
  const c = triangles[previousHalfEdge(h)]! * 3;
  const u = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!] as const;
  const v = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!] as const;
  const lengths = Math.hypot(...u) * Math.hypot(...v);
  return lengths === 0 ? 0 : Math.acos(Math.max(-1, Math.min(1, (u[0] * v[0] + u[1] * v[1] + u[2] * v[2]) / lengths)));
}

/** Classifies `side.point`; leaves the nearest point in `side.found` when it lies within `withinMm`, else says BEYOND_WALL.
 *  The wall ends square: what is nearest to the rim is past it. Cost: one nearest point. */
export function classify(side: SheetSide, wallMm: number, withinMm: number): number {
  const { found, point } = side;
  closestPoints(side.tree, point, found, { withinMm });
  const tri = found.tri[0]!;
  if (tri === NONE) return BEYOND_WALL;
  const on = featureAt(side, tri);
  if (on === RIM) return PAST_RIM;
  let along = 0;
  for (let c = 0; c < 3; c++) along += (point[c]! - found.atMm[c]!) * feature[c]!;
  if (along >= 0) return IN_FRONT;
  return found.distanceMm[0]! < wallMm ? IN_WALL : BEYOND_WALL;
}

const RIM = 1;
const INNER = 0;
const feature = new Float64Array(3);
const ON_SIDE = 1e-9;

/** Leaves the normal of the face, edge or vertex on which the nearest point lies in `feature`. */
function featureAt(side: SheetSide, tri: number): number {
  const { positions: p, triangles } = side.mesh;
  const at = side.found.atMm;
  let onSides = 0;
  let last = NONE;
  for (let corner = 0; corner < 3; corner++) {
    const h = tri * 3 + corner;
    if (
      heightShare(p, at, {
        a: triangles[h]! * 3,
        b: triangles[nextHalfEdge(h)]! * 3,
        c: triangles[previousHalfEdge(h)]! * 3,
      }) > ON_SIDE
    )
      continue;
    onSides |= 1 << corner;
    last = h;
  }
  if (onSides === 0) return copyNormal(side.normals, tri);
  if (onSides === 1 || onSides === 2 || onSides === 4) {
    copyNormal(side.edgeNormals, last);
    return side.twins[last] === NONE ? RIM : INNER;
  }
  // Two sides meet in the corner between them.
  const corner = onSides === 3 ? 1 : onSides === 6 ? 2 : 0;
  const vert = triangles[tri * 3 + corner]!;
  copyNormal(side.vertNormals, vert);
  return side.rimVert[vert] === 1 ? RIM : INNER;
}

function copyNormal(from: Float64Array, n: number): number {
  for (let c = 0; c < 3; c++) feature[c] = from[n * 3 + c]!;
  return INNER;
}

/** Height of a point over side ab, as a share of the height of c. */
function heightShare(p: Float64Array, at: Float64Array, { a, b, c }: { a: number; b: number; c: number }): number {
  const ex = p[b]! - p[a]!;
  const ey = p[b + 1]! - p[a + 1]!;
  const ez = p[b + 2]! - p[a + 2]!;
  const cx = p[c]! - p[a]!;
  const cy = p[c + 1]! - p[a + 1]!;
  const cz = p[c + 2]! - p[a + 2]!;
  const e2 = ex * ex + ey * ey + ez * ez || 1;
  const share = (ex * cx + ey * cy + ez * cz) / e2;
  const hx = cx - share * ex;
  const hy = cy - share * ey;
  const hz = cz - share * ez;
  const h2 = hx * hx + hy * hy + hz * hz || 1e-300;
  return ((at[0]! - p[a]!) * hx + (at[1]! - p[a + 1]!) * hy + (at[2]! - p[a + 2]!) * hz) / h2;
}

/** Unit vector in the sheet and away from it where the nearest point lies on its rim, into `out[3..5]`. */
export function writeRimNormal(side: SheetSide, out: Float64Array): void {
  const tri = side.found.tri[0]!;
  const { positions: p, triangles } = side.mesh;
  let best = NONE;
  let least = Infinity;
  for (let corner = 0; corner < 3; corner++) {
    const h = tri * 3 + corner;
    if (side.twins[h] !== NONE) continue;
    const height = heightShare(p, side.found.atMm, {
      a: triangles[h]! * 3,
      b: triangles[nextHalfEdge(h)]! * 3,
      c: triangles[previousHalfEdge(h)]! * 3,
    });
    if (height >= least) continue;
    least = height;
    best = h;
  }
  const n = tri * 3;
  const [nx, ny, nz] = [side.normals[n]!, side.normals[n + 1]!, side.normals[n + 2]!];
  const d = [0, 1, 2].map((c) => side.point[c]! - side.found.atMm[c]!) as [number, number, number];
  const up = d[0] * nx + d[1] * ny + d[2] * nz;
  // At the end of a rim the way to the point itself, laid into the sheet.
  let [x, y, z] = [d[0] - up * nx, d[1] - up * ny, d[2] - up * nz];
  if (best !== NONE) {
    const a = triangles[best]! * 3;
    const b = triangles[nextHalfEdge(best)]! * 3;
    const e = [0, 1, 2].map((c) => p[b + c]! - p[a + c]!) as [number, number, number];
    [x, y, z] = [e[1] * nz - e[2] * ny, e[2] * nx - e[0] * nz, e[0] * ny - e[1] * nx];
  }
  const length = Math.hypot(x, y, z) || 1;
  out[3] = x / length;
  out[4] = y / length;
  out[5] = z / length;
}
