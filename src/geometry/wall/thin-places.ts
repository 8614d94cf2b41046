// Where the wall is thinner than a limit: connected places with their size, their thinnest point and where that is.
import { QUIET_WORK, type Work } from '../../base/work.ts';
import { areaNormals } from '../../mesh/measure.ts';
import { type Mesh, NONE, numTris, type Vec3 } from '../../mesh/mesh.ts';

export interface ThinPlace {
  readonly areaMm2: number;
  readonly thinnestMm: number;
  /** Centroid of the thinnest triangle, space of the mesh. */
  readonly atMm: Vec3;
  readonly triangles: Uint32Array;
}

export interface ThinPlaces {
  /** Largest area first; specks left out. */
  readonly places: readonly ThinPlace[];
  /** Of all thin triangles, specks too. */
  readonly areaMm2: number;
  /** Of the specks. */
  readonly specksMm2: number;
}

export const THIN_DEFAULTS = {
  /** A place with less area on one side of the wall than this is a speck, mm2: about one short line of print. */
  leastAreaMm2: 4,
} as const;

/** Triangles whose wall (mm, numTris) is under the limit, gathered over shared vertices; the two sides of a wall are two places.
 *  Space: that of the mesh. Cost: O(n), 0.1 s per million triangles. Places are ordered by area, then by first triangle. */
export function thinPlaces(
  mesh: Mesh,
  wallMm: ArrayLike<number>,
  limitMm: number,
  options: { readonly leastAreaMm2?: number; readonly work?: Work } = {},
): ThinPlaces {
  const { leastAreaMm2 = THIN_DEFAULTS.leastAreaMm2, work = QUIET_WORK } = options;
  work.tick(0, 'looking for thin places');
  const areaMm2 = thinAreas(mesh, wallMm, limitMm);
  const leader = groupsByVertex(mesh, areaMm2);
  work.tick(0.6, 'looking for thin places');
  return gathered(mesh, { wallMm, areaMm2, leader }, leastAreaMm2);
}

/** Area of each thin triangle, -1 for the others. A triangle without an area has no wall. */
function thinAreas(mesh: Mesh, wallMm: ArrayLike<number>, limitMm: number): Float64Array {
  const normals = areaNormals(mesh);
  const out = new Float64Array(numTris(mesh)).fill(NONE);
  for (let tri = 0; tri < out.length; tri++) {
    if (!(wallMm[tri]! < limitMm)) continue;
    const area = Math.sqrt(normals[tri * 3]! ** 2 + normals[tri * 3 + 1]! ** 2 + normals[tri * 3 + 2]! ** 2) / 2;
    if (area > 0) out[tri] = area;
  }
  return out;
}

/** Per thin triangle, the least triangle of its group (after following it up); NONE for the others. */
function groupsByVertex({ positions, triangles }: Mesh, areaMm2: Float64Array): Int32Array {
  const leader = new Int32Array(areaMm2.length).fill(NONE);
  const atVert = new Int32Array(positions.length / 3).fill(NONE);
  for (let tri = 0; tri < leader.length; tri++) {
    if (areaMm2[tri]! < 0) continue;
    leader[tri] = tri;
    for (let h = tri * 3; h < tri * 3 + 3; h++) {
      const vert = triangles[h]!;
      if (atVert[vert] === NONE) atVert[vert] = tri;
      else join(leader, atVert[vert]!, tri);
    }
  }
  for (let tri = 0; tri < leader.length; tri++) if (leader[tri] !== NONE) leader[tri] = headOf(leader, tri);
  return leader;
}

function headOf(leader: Int32Array, tri: number): number {
  let at = tri;
  while (leader[at] !== at) {
    leader[at] = leader[leader[at]!]!;
    at = leader[at]!;
  }
  return at;
}

function join(leader: Int32Array, a: number, b: number): void {
  const [x, y] = [headOf(leader, a), headOf(leader, b)];
  leader[Math.max(x, y)] = Math.min(x, y);
}

interface Groups {
  readonly wallMm: ArrayLike<number>;
  readonly areaMm2: Float64Array;
  readonly leader: Int32Array;
}

function gathered(mesh: Mesh, { wallMm, areaMm2, leader }: Groups, leastAreaMm2: number): ThinPlaces {
  const sum = new Float64Array(leader.length);
  const num = new Uint32Array(leader.length);
  let total = 0;
  for (let tri = 0; tri < leader.length; tri++) {
    const head = leader[tri]!;
    if (head === NONE) continue;
    total += areaMm2[tri]!;
    sum[head] = sum[head]! + areaMm2[tri]!;
    num[head] = num[head]! + 1;
  }
  const heads: number[] = [];
  for (let tri = 0; tri < leader.length; tri++) if (num[tri]! > 0 && sum[tri]! >= leastAreaMm2) heads.push(tri);
  const members = membersOf(heads, num, leader);
  let kept = 0;
  const places = heads.map((head, i) => {
    kept += sum[head]!;
    return placeOf(mesh, wallMm, members[i]!, sum[head]!);
  });
  places.sort((a, b) => b.areaMm2 - a.areaMm2 || a.triangles[0]! - b.triangles[0]!);
  return { places, areaMm2: total, specksMm2: Math.max(0, total - kept) };
}

function membersOf(heads: readonly number[], num: Uint32Array, leader: Int32Array): Uint32Array[] {
  const members = heads.map((head) => new Uint32Array(num[head]!));
  const placeOfHead = new Int32Array(leader.length).fill(NONE);
  const filled = new Uint32Array(heads.length);
  heads.forEach((head, i) => {
    placeOfHead[head] = i;
  });
  for (let tri = 0; tri < leader.length; tri++) {
    const place = leader[tri] === NONE ? NONE : placeOfHead[leader[tri]!]!;
    if (place === NONE) continue;
    members[place]![filled[place]!] = tri;
    filled[place] = filled[place]! + 1;
  }
  return members;
}

function placeOf(
  { positions, triangles: t }: Mesh,
  wallMm: ArrayLike<number>,
  members: Uint32Array,
  areaMm2: number,
): ThinPlace {
  let thinnest = members[0]!;
  for (const tri of members) if (wallMm[tri]! < wallMm[thinnest]!) thinnest = tri;
  const at = [0, 1, 2].map((c) => {
    let sum = 0;
    for (let h = thinnest * 3; h < thinnest * 3 + 3; h++) sum += positions[t[h]! * 3 + c]! / 3;
    return sum;
  }) as unknown as Vec3;
  return { areaMm2, thinnestMm: wallMm[thinnest]!, atMm: at, triangles: members };
}
