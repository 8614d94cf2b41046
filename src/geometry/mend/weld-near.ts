// Joins the two sides of seams that should meet and miss each other by a rounding: open edges only, and only where one closes.
import { edgeRings, openHalfEdges, openVerts } from '../../mesh/edge-rings.ts';
import { nextHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts, type Vec3 } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import type { MendStep } from './mend-step.ts';
import { vertexGrid, vertsInBox } from './vertex-grid.ts';

export interface WeldNearOptions {
  /** Vertices this near are tried in any case, mm. */
  readonly withinMm: number;
  /** The reach is doubled up to this as long as a wider one closes more edges, mm. */
  readonly mostMm: number;
}

/** Joins vertices of open edges, nearest first, where at least one pair of open edges becomes one by it; never farther than a fifth
 *  of the shortest open edge at either. The vertex of the lower number stays where it is. Cost: O(n) each time something is joined.
 *  Method: docs/methods/mend.md. Weak: a slot meant to be narrower than the reach is closed. */
export function weldNear(
  mesh: Mesh,
  options: WeldNearOptions,
): { readonly mesh: Mesh; readonly steps: readonly MendStep[] } {
  let now = mesh;
  let [count, largestMm] = [0, 0];
  let atMm: Vec3 | null = null;
  let isIdle = false;
  let open = openHalfEdges(edgeRings(now));
  for (let reach = options.withinMm / 8; reach <= options.mostMm && !isIdle && open.length > 0; reach *= 2) {
    const joined = joinWithin(now, open, reach);
    if (joined === null) {
      isIdle = reach > options.withinMm;
      continue;
    }
    count += joined.count;
    now = joined.mesh;
    open = openHalfEdges(edgeRings(now));
    if (joined.largestMm < largestMm && atMm !== null) continue;
    largestMm = joined.largestMm;
    atMm = joined.atMm;
  }
  return { mesh: now, steps: count === 0 ? [] : [{ kind: 'vertices-joined', count, largestMm, atMm }] };
}

/** A vertex is joined across no more than this share of the shortest open edge at it. */
const SHARE_OF_EDGE = 0.2;

interface Joined {
  readonly mesh: Mesh;
  readonly count: number;
  readonly largestMm: number;
  readonly atMm: Vec3;
}

function joinWithin(mesh: Mesh, open: Int32Array, reach: number): Joined | null {
  const groupOf = groupNear(mesh, open, reach);
  if (groupOf === null) return null;
  freeTornTriangles(mesh, groupOf);
  keepClosing(mesh, open, groupOf);
  return joinGroups(mesh, groupOf);
}

/** Per vertex the lowest of its group; null when every group has one vertex. */
function groupNear(mesh: Mesh, open: Int32Array, reach: number): Int32Array | null {
  const { positions: p, triangles } = mesh;
  const limit = new Float64Array(numVerts(mesh)).fill(-1);
  for (const h of open) {
    const a = triangles[h]!;
    const b = triangles[nextHalfEdge(h)]!;
    const most = Math.min(reach, SHARE_OF_EDGE * gap(p, a, b));
    for (const v of [a, b]) limit[v] = limit[v]! < 0 ? most : Math.min(limit[v]!, most);
  }
  const verts = openVerts(mesh, open);
  const grid = vertexGrid(p, verts, 2 * reach);
  const pairs: { readonly a: number; readonly b: number; readonly away: number }[] = [];
  const near: number[] = [];
  for (const a of verts) {
    near.length = 0;
    vertsInBox(grid, [a, a], limit[a]!, near);
    for (const b of near) {
      const away = gap(p, a, b);
      if (a < b && away <= limit[a]! && away <= limit[b]!) pairs.push({ a, b, away });
    }
  }
  if (pairs.length === 0) return null;
  pairs.sort((s, t) => s.away - t.away || s.a - t.a || s.b - t.b);
  return grouped(numVerts(mesh), pairs);
}

function grouped(count: number, pairs: readonly { readonly a: number; readonly b: number }[]): Int32Array {
  const groupOf = new Int32Array(count);
  for (let v = 0; v < count; v++) groupOf[v] = v;
  const lowest = (v: number): number => {
    let low = v;
    while (groupOf[low] !== low) low = groupOf[low] = groupOf[groupOf[low]!]!;
    return low;
  };
  for (const { a, b } of pairs) {
    const [s, t] = [lowest(a), lowest(b)];
    groupOf[Math.max(s, t)] = Math.min(s, t);
  }
  for (let v = 0; v < count; v++) groupOf[v] = lowest(v);
  return groupOf;
}

/** A chain of near vertices must not swallow a triangle: such groups are given up. */
function freeTornTriangles({ triangles }: Mesh, groupOf: Int32Array): void {
  const isTorn = new Uint8Array(groupOf.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [groupOf[triangles[t]!]!, groupOf[triangles[t + 1]!]!, groupOf[triangles[t + 2]!]!];
    if (a === b || a === c) isTorn[a] = 1;
    if (b === c) isTorn[b] = 1;
  }
  ungroup(groupOf, (group) => isTorn[group] === 1);
}

/** Groups at which no two open edges fall together are given up: they would only pinch the surface. */
function keepClosing({ triangles }: Mesh, open: Int32Array, groupOf: Int32Array): void {
  const facesOf = new Map<number, number>();
  const key = (h: number): number => {
    const a = groupOf[triangles[h]!]!;
    const b = groupOf[triangles[nextHalfEdge(h)]!]!;
    return Math.min(a, b) * groupOf.length + Math.max(a, b);
  };
  for (const h of open) facesOf.set(key(h), (facesOf.get(key(h)) ?? 0) + 1);
  const isClosing = new Uint8Array(groupOf.length);
  for (const h of open) {
    if (facesOf.get(key(h)) !== 2) continue;
    isClosing[groupOf[triangles[h]!]!] = 1;
    isClosing[groupOf[triangles[nextHalfEdge(h)]!]!] = 1;
  }
  ungroup(groupOf, (group) => isClosing[group] === 0);
}

function ungroup(groupOf: Int32Array, isGivenUp: (group: number) => boolean): void {
  for (let v = 0; v < groupOf.length; v++) if (isGivenUp(groupOf[v]!)) groupOf[v] = v;
}

function joinGroups(mesh: Mesh, groupOf: Int32Array): Joined | null {
  const { positions: p } = mesh;
  let [count, largestMm, farthest] = [0, 0, NONE as number];
  for (let v = 0; v < groupOf.length; v++) {
    if (groupOf[v] === v) continue;
    count++;
    const away = gap(p, v, groupOf[v]!);
    if (away < largestMm && farthest !== NONE) continue;
    largestMm = away;
    farthest = v;
  }
  if (count === 0) return null;
  const triangles = mesh.triangles.map((v) => groupOf[v]!);
  const at = 3 * farthest;
  return {
    mesh: compactMesh(meshOf(p, triangles)),
    count,
    largestMm,
    atMm: [p[at]!, p[at + 1]!, p[at + 2]!],
  };
}

function gap(p: Float64Array, a: number, b: number): number {
  return Math.hypot(p[3 * a]! - p[3 * b]!, p[3 * a + 1]! - p[3 * b + 1]!, p[3 * a + 2]! - p[3 * b + 2]!);
}
