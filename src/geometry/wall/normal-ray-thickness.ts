// How far it is through the solid along the inward normal of each triangle: the measure that other programs give.
import { QUIET_WORK, type Work } from '../../base/work.ts';
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { areaNormals, bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { raycastMany } from '../../mesh/ray.ts';

export interface TriThickness {
  /** numTris, mm; Infinity where nothing is met (an open surface) and where the triangle has no area. */
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
export function normalRayThickness(mesh: Mesh, tree: BoundingTree, work: Work = QUIET_WORK): TriThickness {
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
