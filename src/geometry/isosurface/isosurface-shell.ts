// Keeps the connected surfaces of a closed mesh that matter and lets crumbs go.
import { type Mesh, meshOf, NONE } from '../../mesh/mesh.ts';

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

/** Without the connected surfaces that enclose less than a volume (either way round), and how many those were. Cost: O(n). */
export function shellsAbove(mesh: Mesh, leastMm3: number): { readonly mesh: Mesh; readonly dropped: number } {
  const { positions: p, triangles } = mesh;
  const root = rootOfVerts(mesh);
  const held = new Float64Array(root.length);
  for (let h = 0; h < triangles.length; h += 3) {
    const a = triangles[h]! * 3;
    const b = triangles[h + 1]! * 3;
    const c = triangles[h + 2]! * 3;
    const from = root[triangles[h]!]! * 3;
    const [ax, ay, az] = [p[a]! - p[from]!, p[a + 1]! - p[from + 1]!, p[a + 2]! - p[from + 2]!];
    const [bx, by, bz] = [p[b]! - p[from]!, p[b + 1]! - p[from + 1]!, p[b + 2]! - p[from + 2]!];
    const [cx, cy, cz] = [p[c]! - p[from]!, p[c + 1]! - p[from + 1]!, p[c + 2]! - p[from + 2]!];
    held[root[triangles[h]!]!]! += (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6;
  }
  const isKept = (v: number): boolean => Math.abs(held[root[v]!]!) >= leastMm3;
  let dropped = 0;
  let numCorners = 0;
  for (let v = 0; v < root.length; v++) if (root[v] === v && !isKept(v)) dropped++;
  if (dropped === 0) return { mesh, dropped };
  for (let h = 0; h < triangles.length; h += 3) if (isKept(triangles[h]!)) numCorners += 3;
  return { mesh: onlyVerts(mesh, isKept, numCorners), dropped };
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
