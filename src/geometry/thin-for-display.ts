// Fewer triangles of any mesh whatever, for looking at only: open, crossing and crowded surfaces stay what they look like.
import { areaNormals, bounds, sizeOf, surfaceArea } from '../mesh/measure.ts';
import { type Mesh, meshOf, NONE, numTris, numVerts, type Vec3 } from '../mesh/mesh.ts';

export interface ThinOptions {
  /** The most triangles that may be left. */
  readonly triangles: number;
}

/** Vertices that share a cell of a grid and face the same way become one. The same mesh when it is small enough already; otherwise
 *  no more than `triangles`, usually between a half and all of them. Nothing is kept but the looks: shells may join, edges may get
 *  more than two faces, slits narrower than a cell close. The two sides of a thin wall stay apart. Space: that of the mesh.
 *  Cost: O(n), one to three passes, about 0.6 s per million triangles; no hashing by objects.
 *  Method: vertex clustering with the plane quadric of each cluster (Lindstrom 2000), drawn toward the mean of its vertices where
 *  the planes leave it open; clusters split by the axis their vertices face most. Weak: open rims draw back by up to half a cell. */
export function thinForDisplay(mesh: Mesh, { triangles }: ThinOptions): Mesh {
  if (numTris(mesh) <= triangles) return mesh;
  const faces = facings(mesh);
  let cellMm = firstCell(mesh, triangles);
  for (;;) {
    const { clusterOf, clusters } = clustered(mesh, faces, cellMm);
    const kept = keptTriangles(mesh.triangles, clusterOf);
    if (kept.length <= triangles * 3) return meshOf(clusterPoints(mesh, { clusterOf, clusters, cellMm }), kept);
    cellMm *= 1.05 * Math.sqrt(kept.length / 3 / triangles);
  }
}

/** A surface of area A has some 1.5 A / s^2 cells of side s, and twice as many triangles as cells. */
const TRIANGLES_PER_CELL_FACE = 3;
/** Cells along one side that a cell's number still tells apart exactly. */
const MOST_CELLS = 60_000;
/** Directions a vertex may face: along or against each axis. */
const FACINGS = 6;

function firstCell(mesh: Mesh, triangles: number): number {
  const longest = Math.max(...sizeOf(bounds(mesh)), 1e-9);
  return Math.max(Math.sqrt((TRIANGLES_PER_CELL_FACE * surfaceArea(mesh)) / triangles), longest / MOST_CELLS);
}

/** For each vertex the axis it faces most, 0 to 5. */
function facings(mesh: Mesh): Uint8Array {
  const { triangles } = mesh;
  const ofTri = areaNormals(mesh);
  const sum = new Float64Array(mesh.positions.length);
  for (let corner = 0; corner < triangles.length; corner++) {
    const t = corner - (corner % 3);
    const v = triangles[corner]! * 3;
    for (let c = 0; c < 3; c++) sum[v + c] = sum[v + c]! + ofTri[t + c]!;
  }
  const out = new Uint8Array(numVerts(mesh));
  for (let v = 0; v < out.length; v++) {
    const x = sum[v * 3]!;
    const y = sum[v * 3 + 1]!;
    const z = sum[v * 3 + 2]!;
    const most = Math.max(Math.abs(x), Math.abs(y), Math.abs(z));
    const axis = most === Math.abs(x) ? 0 : most === Math.abs(y) ? 1 : 2;
    out[v] = axis * 2 + ([x, y, z][axis]! < 0 ? 1 : 0);
  }
  return out;
}

interface Clusters {
  readonly clusterOf: Uint32Array;
  readonly clusters: number;
}

function clustered(mesh: Mesh, faces: Uint8Array, cellMm: number): Clusters {
  const { positions } = mesh;
  const { minMm } = bounds(mesh);
  const [, ny, nz] = sizeOf(bounds(mesh)).map((side) => Math.floor(side / cellMm) + 1) as unknown as Vec3;
  const bits = Math.ceil(Math.log2(numVerts(mesh) * 2 + 2));
  const mask = 2 ** bits - 1;
  const keys = new Float64Array(mask + 1).fill(NONE);
  const known = new Uint32Array(mask + 1);
  const clusterOf = new Uint32Array(numVerts(mesh));
  let clusters = 0;
  for (let v = 0; v < clusterOf.length; v++) {
    const x = Math.floor((positions[v * 3]! - minMm[0]) / cellMm);
    const y = Math.floor((positions[v * 3 + 1]! - minMm[1]) / cellMm);
    const z = Math.floor((positions[v * 3 + 2]! - minMm[2]) / cellMm);
    const key = ((x * ny + y) * nz + z) * FACINGS + faces[v]!;
    let slot = (Math.imul((key % 4294967296) | 0, 0x9e3779b1) ^ Math.imul((key / 4294967296) | 0, 0x85ebca6b)) & mask;
    while (keys[slot] !== key && keys[slot] !== NONE) slot = (slot + 1) & mask;
    if (keys[slot] === NONE) {
      keys[slot] = key;
      known[slot] = clusters++;
    }
    clusterOf[v] = known[slot]!;
  }
  return { clusterOf, clusters };
}

function keptTriangles(triangles: Uint32Array, clusterOf: Uint32Array): Uint32Array {
  const kept = new Uint32Array(triangles.length);
  let size = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = clusterOf[triangles[t]!]!;
    const b = clusterOf[triangles[t + 1]!]!;
    const c = clusterOf[triangles[t + 2]!]!;
    if (a === b || b === c || c === a) continue;
    kept[size++] = a;
    kept[size++] = b;
    kept[size++] = c;
  }
  return kept.slice(0, size);
}

/** Sums per cluster: x y z and number of its vertices; then xx xy xz yy yz zz and dx dy dz of the planes at its triangles. */
const SUMS = 13;
/** How hard the mean draws, as a share of the planes' own weight. */
const PULL = 0.004;

/** Planes are taken about a corner of the box, so that nothing is lost to large coordinates. */
function clusterPoints(mesh: Mesh, { clusterOf, clusters, cellMm }: Clusters & { cellMm: number }): Float64Array {
  const { positions, triangles } = mesh;
  const { minMm } = bounds(mesh);
  const sums = new Float64Array(clusters * SUMS);
  for (let v = 0; v < clusterOf.length; v++) {
    const s = clusterOf[v]! * SUMS;
    for (let c = 0; c < 3; c++) sums[s + c] = sums[s + c]! + positions[v * 3 + c]! - minMm[c]!;
    sums[s + 3] = sums[s + 3]! + 1;
  }
  const normals = areaNormals(mesh);
  for (let t = 0; t < triangles.length; t += 3) {
    const p = triangles[t]! * 3;
    const plane = [normals[t]!, normals[t + 1]!, normals[t + 2]!] as const;
    const d =
      plane[0] * (positions[p]! - minMm[0]) +
      plane[1] * (positions[p + 1]! - minMm[1]) +
      plane[2] * (positions[p + 2]! - minMm[2]);
    const a = clusterOf[triangles[t]!]!;
    const b = clusterOf[triangles[t + 1]!]!;
    const c = clusterOf[triangles[t + 2]!]!;
    addPlane(sums, a * SUMS, plane, d);
    if (b !== a) addPlane(sums, b * SUMS, plane, d);
    if (c !== a && c !== b) addPlane(sums, c * SUMS, plane, d);
  }
  const out = new Float64Array(clusters * 3);
  for (let cluster = 0; cluster < clusters; cluster++) {
    const [x, y, z] = restingPoint(sums, cluster * SUMS, cellMm);
    out[cluster * 3] = x + minMm[0];
    out[cluster * 3 + 1] = y + minMm[1];
    out[cluster * 3 + 2] = z + minMm[2];
  }
  return out;
}

function addPlane(sums: Float64Array, s: number, [x, y, z]: Vec3, d: number): void {
  sums[s + 4]! += x * x;
  sums[s + 5]! += x * y;
  sums[s + 6]! += x * z;
  sums[s + 7]! += y * y;
  sums[s + 8]! += y * z;
  sums[s + 9]! += z * z;
  sums[s + 10]! += x * d;
  sums[s + 11]! += y * d;
  sums[s + 12]! += z * d;
}

/** The point nearest to all planes, drawn toward the mean m: (A + k) (p - m) = b - A m, never farther from it than a cell. */
function restingPoint(sums: Float64Array, s: number, cellMm: number): Vec3 {
  const n = sums[s + 3]!;
  const m: Vec3 = [sums[s]! / n, sums[s + 1]! / n, sums[s + 2]! / n];
  const pull = PULL * (sums[s + 4]! + sums[s + 7]! + sums[s + 9]!);
  if (!(pull > 0)) return m;
  const xx = sums[s + 4]! + pull;
  const xy = sums[s + 5]!;
  const xz = sums[s + 6]!;
  const yy = sums[s + 7]! + pull;
  const yz = sums[s + 8]!;
  const zz = sums[s + 9]! + pull;
  const bx = sums[s + 10]! - (xx - pull) * m[0] - xy * m[1] - xz * m[2];
  const by = sums[s + 11]! - xy * m[0] - (yy - pull) * m[1] - yz * m[2];
  const bz = sums[s + 12]! - xz * m[0] - yz * m[1] - (zz - pull) * m[2];
  const c0 = yy * zz - yz * yz;
  const c1 = xz * yz - xy * zz;
  const c2 = xy * yz - xz * yy;
  const det = xx * c0 + xy * c1 + xz * c2;
  if (!(Math.abs(det) > 0)) return m;
  const dx = (c0 * bx + c1 * by + c2 * bz) / det;
  const dy = (c1 * bx + (xx * zz - xz * xz) * by + (xy * xz - xx * yz) * bz) / det;
  const dz = (c2 * bx + (xy * xz - xx * yz) * by + (xx * yy - xy * xy) * bz) / det;
  const shrink = Math.min(1, cellMm / Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-12));
  return [m[0] + dx * shrink, m[1] + dy * shrink, m[2] + dz * shrink];
}
