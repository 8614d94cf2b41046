// Edges where a closed surface bends sharply, as line segments for pictures.
import { areaNormals } from '../mesh/measure.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { halfEdgeTwins } from '../mesh/topology.ts';

/** Segments (6 numbers each: xyz xyz, single precision) of edges whose faces differ in direction by more than `angleDeg`.
 *  Cost: O(n). Weak: on a coarse tessellation a round surface bends sharply too. */
export function creaseEdges(mesh: Mesh, options: { readonly angleDeg: number }): Float32Array {
  const { positions, triangles } = mesh;
  const limit = Math.cos((options.angleDeg * Math.PI) / 180);
  const normals = areaNormals(mesh);
  const twins = halfEdgeTwins(mesh);
  const out: number[] = [];
  for (let edge = 0; edge < triangles.length; edge++) {
    const twin = twins[edge]!;
    if (twin < edge) continue;
    const t = 3 * Math.trunc(edge / 3);
    const o = 3 * Math.trunc(twin / 3);
    const dot = normals[t]! * normals[o]! + normals[t + 1]! * normals[o + 1]! + normals[t + 2]! * normals[o + 2]!;
    const lengths =
      Math.hypot(normals[t]!, normals[t + 1]!, normals[t + 2]!) *
      Math.hypot(normals[o]!, normals[o + 1]!, normals[o + 2]!);
    if (lengths === 0 || dot > limit * lengths) continue;
    const a = triangles[edge]! * 3;
    const b = triangles[t + ((edge + 1 - t) % 3)]! * 3;
    out.push(positions[a]!, positions[a + 1]!, positions[a + 2]!, positions[b]!, positions[b + 1]!, positions[b + 2]!);
  }
  return Float32Array.from(out);
}
