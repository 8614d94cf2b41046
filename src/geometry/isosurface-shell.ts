// Keeps the largest connected surface of a closed mesh and lets crumbs go.
import { type Mesh, meshOf, NONE } from '../mesh/mesh.ts';

/** The connected surface with most triangles; vertices and triangles keep their order. Cost: O(n). */
export function largestShell(mesh: Mesh): Mesh {
  const root = rootOfVerts(mesh);
  const size = new Uint32Array(root.length);
  for (let h = 0; h < mesh.triangles.length; h += 3) size[root[mesh.triangles[h]!]!]! += 1;
  let largest = 0;
  for (let v = 1; v < size.length; v++) if (size[v]! > size[largest]!) largest = v;
  if ((size[largest] ?? 0) * 3 === mesh.triangles.length) return mesh;
  return onlyVerts(mesh, (v) => root[v] === largest, (size[largest] ?? 0) * 3);
}

function rootOfVerts({ positions, triangles }: Mesh): Uint32Array {
  const parent = new Uint32Array(positions.length / 3);
  for (let v = 0; v < parent.length; v++) parent[v] = v;
  const find = (v: number): number => {
    let at = v;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let h = 0; h < triangles.length; h++) {
    const a = find(triangles[h]!);
    const b = find(triangles[h % 3 === 2 ? h - 2 : h + 1]!);
    if (a !== b) parent[Math.max(a, b)] = Math.min(a, b);
  }
  for (let v = 0; v < parent.length; v++) parent[v] = find(v);
  return parent;
}

function onlyVerts(mesh: Mesh, keep: (v: number) => boolean, numCorners: number): Mesh {
  const newVert = new Int32Array(mesh.positions.length / 3).fill(NONE);
  let count = 0;
  for (let v = 0; v < newVert.length; v++) if (keep(v)) newVert[v] = count++;
  const positions = new Float64Array(count * 3);
  for (let v = 0; v < newVert.length; v++) {
    if (newVert[v] === NONE) continue;
    for (let c = 0; c < 3; c++) positions[newVert[v]! * 3 + c] = mesh.positions[v * 3 + c]!;
  }
  const triangles = new Uint32Array(numCorners);
  let n = 0;
  for (let h = 0; h < mesh.triangles.length; h += 3) {
    if (newVert[mesh.triangles[h]!] === NONE) continue;
    for (let c = 0; c < 3; c++) triangles[n++] = newVert[mesh.triangles[h + c]!]!;
  }
  return meshOf(positions, triangles);
}
