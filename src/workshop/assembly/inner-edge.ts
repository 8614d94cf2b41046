// The inner edge of a seam: where a bead is laid, and where a hand has to get at.
import { halfEdgeTwins, nextHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, NONE, type Vec3 } from '../../mesh/mesh.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';

export interface InnerEdge {
  /** num x 6, worn, mm: a place on the edge and the way from the wall into the hollow. */
  readonly places: Float64Array;
  /** num, mm: how much of the edge each place stands for. */
  readonly lengthMm: Float64Array;
}

/** One place for each cube of this side through which the edge runs, mm. */
const PLACE_MM = 8;

/** One a seam, in their order: sides between its mating face and triangles of the inside, on the piece below it, as cut, without keys.
 *  Cost: O(n). */
export function innerEdges(record: PiecesRecord, meshes: MeshStore): InnerEdge[] {
  const found = record.seams.map(() => new Map<string, number[]>());
  for (const piece of record.pieces) {
    const below = record.seams.flatMap(({ pieces }, seam) => (pieces[0] === piece.id ? [seam] : []));
    if (below.length === 0) continue;
    const mesh = meshes.get(piece.mesh);
    const twins = halfEdgeTwins(mesh);
    piece.sourceTri.forEach((source, tri) => {
      const cells = source < 0 ? found[-1 - source] : undefined;
      if (cells === undefined || !below.includes(-1 - source)) return;
      for (let h = tri * 3; h < tri * 3 + 3; h++) {
        const beside = twins[h] === NONE ? NONE : Math.floor(twins[h]! / 3);
        const shellTri = beside === NONE ? NONE : piece.sourceTri[beside]!;
        if (shellTri >= 0 && record.seen[shellTri] === 0) addSide(cells, mesh, h, beside);
      }
    });
  }
  return found.map((cells) => ({
    places: Float64Array.from([...cells.values()].flatMap((place) => place.slice(0, 6))),
    lengthMm: Float64Array.from([...cells.values()].map((place) => place[6]!)),
  }));
}

function addSide(cells: Map<string, number[]>, { positions: p, triangles: t }: Mesh, h: number, beside: number): void {
  const [a, b] = [t[h]! * 3, t[nextHalfEdge(h)]! * 3];
  const middle = [0, 1, 2].map((c) => (p[a + c]! + p[b + c]!) / 2);
  const length = Math.hypot(p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!);
  const key = middle.map((v) => Math.floor(v / PLACE_MM)).join(',');
  const place = cells.get(key);
  if (place !== undefined) place[6] = place[6]! + length;
  else cells.set(key, [...middle, ...normalOf(p, t, beside), length]);
}

function normalOf(p: Float64Array, t: Uint32Array, tri: number): Vec3 {
  const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const length = Math.hypot(x, y, z) || 1;
  return [x / length, y / length, z / length];
}

/** `num` places of the edge, as far from each other as can be (farthest point first, Gonzalez 1985). Fewer when it has fewer. */
export function spreadPlaces({ places }: InnerEdge, num: number): Vec3[] {
  const count = places.length / 6;
  const away = new Float64Array(count).fill(Infinity);
  const out: Vec3[] = [];
  for (let next = 0; out.length < Math.min(num, count); ) {
    const at: Vec3 = [places[next * 6]!, places[next * 6 + 1]!, places[next * 6 + 2]!];
    out.push(at);
    for (let i = 0; i < count; i++)
      away[i] = Math.min(
        away[i]!,
        Math.hypot(places[i * 6]! - at[0], places[i * 6 + 1]! - at[1], places[i * 6 + 2]! - at[2]),
      );
    next = away.indexOf(away.reduce((most, one) => Math.max(most, one), -1));
  }
  return out;
}
