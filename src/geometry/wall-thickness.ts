// How thick the wall is: the way from each triangle through the solid along its inward normal.
import { QUIET_WORK, type Work } from '../base/work.ts';
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { areaNormals, bounds, sizeOf } from '../mesh/measure.ts';
import { type Mesh, numTris } from '../mesh/mesh.ts';
import { raycastMany } from '../mesh/ray.ts';

export interface WallThickness {
  /** numTris, mm; Infinity where the ray leaves without a hit (an open surface) and where the triangle has no area. */
  readonly perTriMm: Float32Array;
  readonly areaMm2: Float64Array;
}

/** Surfaces closer to the centroid than this share of the mesh's diagonal do not count: a triangle lying on top of its like. */
const NEAREST_SHARE = 1e-7;
const BATCH = 8192;

/** Distance from each triangle's centroid along its inward normal to the next surface, whichever side that shows; the triangle
 *  itself does not count. Space: that of the mesh. Cost: one ray a triangle, about 3 s per million.
 *  Method: normal ray; docs/methods/wall-thickness.md. Weak: near a rim the normal runs along the wall and reports its length,
 *  and where the two sides are not parallel it is longer than the shortest way through. */
export function wallThickness(mesh: Mesh, tree: BoundingTree, work: Work = QUIET_WORK): WallThickness {
  const count = numTris(mesh);
  const perTriMm = new Float32Array(count);
  const areaMm2 = new Float64Array(count);
  const normals = areaNormals(mesh);
  const from = count === 0 ? 0 : NEAREST_SHARE * Math.hypot(...sizeOf(bounds(mesh)));
  for (let first = 0; first < count; first += BATCH) {
    work.tick(first / count, 'measuring the wall');
    const end = Math.min(count, first + BATCH);
    const { rays, skipTris } = inwardRays(mesh, normals, { first, end, areaMm2 });
    const out = { tri: new Int32Array(end - first), t: new Float64Array(end - first) };
    raycastMany(tree, rays, out, { from, skipTris });
    perTriMm.set(out.t, first);
  }
  return { perTriMm, areaMm2 };
}

/** Thicknesses that the given shares (0 to 1) of the area do not exceed. Triangles without a hit or an area are left out; NaN when
 *  none remain. Cost: O(n), some 90 ms per million. */
export function areaPercentiles(wall: WallThickness, shares: readonly number[]): readonly number[] {
  const order = measuredInOrder(wall);
  if (order.length === 0) return shares.map(() => Number.NaN);
  let total = 0;
  for (const t of order) total += wall.areaMm2[t]!;
  return shares.map((share) => {
    let sum = 0;
    for (const t of order) {
      sum += wall.areaMm2[t]!;
      if (sum >= share * total) return wall.perTriMm[t]!;
    }
    return wall.perTriMm[order.at(-1)!]!;
  });
}

function inwardRays(
  { positions, triangles }: Mesh,
  normals: Float64Array,
  range: { readonly first: number; readonly end: number; readonly areaMm2: Float64Array },
): { rays: Float64Array; skipTris: Int32Array } {
  const rays = new Float64Array((range.end - range.first) * 6);
  const skipTris = new Int32Array(range.end - range.first);
  for (let tri = range.first; tri < range.end; tri++) {
    const t = tri * 3;
    const at = (tri - range.first) * 6;
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const length = Math.sqrt(normals[t]! ** 2 + normals[t + 1]! ** 2 + normals[t + 2]! ** 2);
    range.areaMm2[tri] = length / 2;
    skipTris[tri - range.first] = tri;
    for (let k = 0; k < 3; k++) {
      rays[at + k] = (positions[a + k]! + positions[b + k]! + positions[c + k]!) / 3;
      rays[at + 3 + k] = length === 0 ? 0 : -normals[t + k]! / length;
    }
  }
  return { rays, skipTris };
}

/** Triangles with a thickness and an area, thinnest first. Positive single-precision numbers sort as their bits do, so two passes
 *  of counting over 16 bits each order them. */
function measuredInOrder({ perTriMm, areaMm2 }: WallThickness): Uint32Array {
  const bits = new Uint32Array(perTriMm.buffer, perTriMm.byteOffset, perTriMm.length);
  let count = 0;
  let order = new Uint32Array(perTriMm.length);
  for (let t = 0; t < order.length; t++) if (perTriMm[t]! < Infinity && areaMm2[t]! > 0) order[count++] = t;
  order = order.subarray(0, count);
  for (const shift of [0, 16]) {
    const next = new Uint32Array(65537);
    for (const t of order) {
      const digit = ((bits[t]! >>> shift) & 0xffff) + 1;
      next[digit] = next[digit]! + 1;
    }
    for (let digit = 1; digit < next.length; digit++) next[digit] = next[digit]! + next[digit - 1]!;
    const sorted = new Uint32Array(count);
    for (const t of order) {
      const digit = (bits[t]! >>> shift) & 0xffff;
      const to = next[digit]!;
      sorted[to] = t;
      next[digit] = to + 1;
    }
    order = sorted;
  }
  return order;
}
