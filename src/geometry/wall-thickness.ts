// How thick the wall is: the way from each triangle through the solid along its inward normal.
import type { Work } from '../base/work.ts';
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { areaNormals } from '../mesh/measure.ts';
import { type Mesh, numTris } from '../mesh/mesh.ts';
import { raycastMany } from '../mesh/ray.ts';

export interface WallThickness {
  /** numTris, mm; Infinity where the ray leaves without a hit (an open surface). */
  readonly perTriMm: Float32Array;
  readonly areaMm2: Float64Array;
}

/** A ray starts at the centroid of each triangle, this far inside, so that it does not meet its own neighbours. */
const START_MM = 1e-4;
const BATCH = 20_000;

/** Cost: one ray a triangle. Method: normal ray; docs/methods/wall-thickness.md. Weak: near a rim the normal runs along the
 *  wall and reports its length; the maximal inscribed ball of a later chapter does not. */
export function wallThickness(mesh: Mesh, tree: BoundingTree, work: Work): WallThickness {
  const count = numTris(mesh);
  const perTriMm = new Float32Array(count);
  const areaMm2 = new Float64Array(count);
  const normals = areaNormals(mesh);
  for (let from = 0; from < count; from += BATCH) {
    work.tick(from / count, 'measuring the wall');
    const to = Math.min(count, from + BATCH);
    const rays = inwardRays(mesh, normals, { from, to, areaMm2 });
    const out = { tri: new Int32Array(to - from), t: new Float64Array(to - from) };
    raycastMany(tree, rays, out);
    for (let i = 0; i < out.t.length; i++) perTriMm[from + i] = out.t[i]! + START_MM;
  }
  return { perTriMm, areaMm2 };
}

/** Values below which the given shares of the area lie. Triangles without a hit or an area are left out. Cost: O(n log n). */
export function areaPercentiles(wall: WallThickness, shares: readonly number[]): readonly number[] {
  const order = Array.from(wall.perTriMm.keys()).filter(
    (t) => Number.isFinite(wall.perTriMm[t]!) && wall.areaMm2[t]! > 0,
  );
  order.sort((a, b) => wall.perTriMm[a]! - wall.perTriMm[b]!);
  const total = order.reduce((sum, t) => sum + wall.areaMm2[t]!, 0);
  return shares.map((share) => {
    let sum = 0;
    for (const t of order) {
      sum += wall.areaMm2[t]!;
      if (sum >= share * total) return wall.perTriMm[t]!;
    }
    return order.length === 0 ? Number.NaN : wall.perTriMm[order.at(-1)!]!;
  });
}

function inwardRays(
  mesh: Mesh,
  normals: Float64Array,
  range: { from: number; to: number; areaMm2: Float64Array },
): Float64Array {
  const { positions, triangles } = mesh;
  const rays = new Float64Array((range.to - range.from) * 6);
  for (let tri = range.from; tri < range.to; tri++) {
    const t = tri * 3;
    const at = (tri - range.from) * 6;
    const length = Math.hypot(normals[t]!, normals[t + 1]!, normals[t + 2]!);
    range.areaMm2[tri] = length / 2;
    for (let c = 0; c < 3; c++) {
      const inward = length === 0 ? 0 : -normals[t + c]! / length;
      const middle =
        (positions[triangles[t]! * 3 + c]! +
          positions[triangles[t + 1]! * 3 + c]! +
          positions[triangles[t + 2]! * 3 + c]!) /
        3;
      rays[at + c] = middle + inward * START_MM;
      rays[at + 3 + c] = inward;
    }
  }
  return rays;
}
