// Edges where a closed surface bends sharply, as line segments for pictures.
import type { Mesh } from '../mesh/mesh.ts';
import { halfEdgeTwins } from '../mesh/topology.ts';

/** Segments (6 numbers each: xyz xyz, single precision) of edges whose faces differ in direction by more than `angleDeg`.
 *  Cost: O(n). Weak: on a coarse tessellation a round surface bends sharply too. */
export function creaseEdges(mesh: Mesh, options: { readonly angleDeg: number }): Float32Array {
  const { positions, triangles } = mesh;
  const limit = Math.cos((options.angleDeg * Math.PI) / 180);
  const normals = unitNormals(mesh);
  const twins = halfEdgeTwins(mesh);
  const out: number[] = [];
  for (let edge = 0; edge < triangles.length; edge++) {
    const twin = twins[edge]!;
    if (twin < edge) continue;
    const t = 3 * Math.trunc(edge / 3);
    const o = 3 * Math.trunc(twin / 3);
    const cos = normals[t]! * normals[o]! + normals[t + 1]! * normals[o + 1]! + normals[t + 2]! * normals[o + 2]!;
    if (cos > limit) continue;
    const a = triangles[edge]! * 3;
    const b = triangles[t + ((edge + 1 - t) % 3)]! * 3;
    out.push(positions[a]!, positions[a + 1]!, positions[a + 2]!, positions[b]!, positions[b + 1]!, positions[b + 2]!);
  }
  return Float32Array.from(out);
}

function unitNormals({ positions, triangles }: Mesh): Float32Array {
  const normals = new Float32Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ux = positions[b]! - positions[a]!;
    const uy = positions[b + 1]! - positions[a + 1]!;
    const uz = positions[b + 2]! - positions[a + 2]!;
    const vx = positions[c]! - positions[a]!;
    const vy = positions[c + 1]! - positions[a + 1]!;
    const vz = positions[c + 2]! - positions[a + 2]!;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const l = Math.hypot(x, y, z) || 1;
    normals[t] = x / l;
    normals[t + 1] = y / l;
    normals[t + 2] = z / l;
  }
  return normals;
}
