// The model as the evaluator looks at it: the same surface in triangles small enough to carry one price each.
import { type Mesh, meshOf, numTris } from '../../../src/mesh/mesh.ts';

/** Longest edge, mm: a price stands for a place of this size. */
export const LONGEST_EDGE_MM = 8;

export interface RefinedModel {
  /** Conforming; the very surface that was given. */
  readonly mesh: Mesh;
  /** numTris x 3, unit, outward. */
  readonly normals: Float64Array;
  /** numTris x 3. */
  readonly middles: Float64Array;
  readonly areas: Float64Array;
  /** numTris x 3: the triangle over the edge from corner k to the next, -1 where there is none. */
  readonly across: Int32Array;
}

export function refinedModel(given: Mesh, longestMm = LONGEST_EDGE_MM): RefinedModel {
  let mesh = given;
  for (let pass = 0; pass < 12; pass++) {
    const next = halved(mesh, longestMm);
    if (next === null) break;
    mesh = next;
  }
  const count = numTris(mesh);
  const normals = new Float64Array(3 * count);
  const middles = new Float64Array(3 * count);
  const areas = new Float64Array(count);
  const { positions: p, triangles: t } = mesh;
  for (let i = 0; i < count; i++) {
    const [a, b, c] = [3 * t[3 * i]!, 3 * t[3 * i + 1]!, 3 * t[3 * i + 2]!];
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const length = Math.hypot(nx, ny, nz);
    areas[i] = length / 2;
    const scale = length > 0 ? 1 / length : 0;
    normals.set([nx * scale, ny * scale, nz * scale], 3 * i);
    for (let k = 0; k < 3; k++) middles[3 * i + k] = (p[a + k]! + p[b + k]! + p[c + k]!) / 3;
  }
  return { mesh, normals, middles, areas, across: acrossEdges(mesh) };
}

/** Every edge longer than the limit is cut in its middle, in all triangles that share it. Null when there is none. */
function halved({ positions, triangles }: Mesh, longestMm: number): Mesh | null {
  const numVerts = positions.length / 3;
  const middleOf = new Map<number, number>();
  const added: number[] = [];
  const middle = (a: number, b: number): number => {
    const [low, high] = a < b ? [a, b] : [b, a];
    const d = [0, 1, 2].map((c) => positions[3 * low + c]! - positions[3 * high + c]!);
    if (Math.hypot(d[0]!, d[1]!, d[2]!) <= longestMm) return -1;
    const key = low * numVerts + high;
    const known = middleOf.get(key);
    if (known !== undefined) return known;
    const vert = numVerts + added.length / 3;
    for (let c = 0; c < 3; c++) added.push((positions[3 * low + c]! + positions[3 * high + c]!) / 2);
    middleOf.set(key, vert);
    return vert;
  };
  const out: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const v = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!] as const;
    const m = [middle(v[0], v[1]), middle(v[1], v[2]), middle(v[2], v[0])] as const;
    const cut = m.filter((vert) => vert >= 0).length;
    if (cut === 0) out.push(...v);
    else if (cut === 3) out.push(v[0], m[0], m[2], m[0], v[1], m[1], m[2], m[1], v[2], m[0], m[1], m[2]);
    else {
      // turned so that the first edge is cut, and with two the last edge is whole
      const k = cut === 1 ? m.findIndex((vert) => vert >= 0) : (m.indexOf(-1) + 1) % 3;
      const [a, b, c] = [v[k]!, v[(k + 1) % 3]!, v[(k + 2) % 3]!];
      const [ab, bc] = [m[k]!, m[(k + 1) % 3]!];
      if (cut === 1) out.push(a, ab, c, ab, b, c);
      else out.push(ab, b, bc, a, ab, bc, a, bc, c);
    }
  }
  if (added.length === 0) return null;
  const all = new Float64Array(positions.length + added.length);
  all.set(positions);
  all.set(added, positions.length);
  return meshOf(all, Uint32Array.from(out));
}

function acrossEdges({ positions, triangles }: Mesh): Int32Array {
  const numVerts = positions.length / 3;
  const edges = new Map<number, number>();
  const across = new Int32Array(triangles.length).fill(-1);
  for (let corner = 0; corner < triangles.length; corner++) {
    const from = triangles[corner]!;
    const to = triangles[corner % 3 === 2 ? corner - 2 : corner + 1]!;
    const other = edges.get(to * numVerts + from);
    if (other === undefined) {
      edges.set(from * numVerts + to, corner);
      continue;
    }
    across[corner] = Math.floor(other / 3);
    across[other] = Math.floor(corner / 3);
    edges.delete(to * numVerts + from);
  }
  return across;
}
