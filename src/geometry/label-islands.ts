// Takes small islands out of a surface that is told in two: specks of one kind within the other.
import { type KnownSurface, knownSurface } from '../mesh/known-surface.ts';
import { type Mesh, NONE } from '../mesh/mesh.ts';

/** labels: 0 or 1 a triangle. Triangles of one label that hang together through edges and have less area than `leastMm2` take the other
 *  label, where they border on it. All islands are measured before any is changed. Cost: O(n). */
export function withoutIslands(
  mesh: Mesh,
  labels: Uint8Array,
  leastMm2: number,
  { twins, normals }: KnownSurface = knownSurface(mesh),
): Uint8Array {
  const out = labels.slice();
  const seen = new Uint8Array(labels.length);
  const island = new Int32Array(labels.length);
  for (let seed = 0; seed < labels.length; seed++) {
    if (seen[seed] === 1) continue;
    seen[seed] = 1;
    island[0] = seed;
    let size = 1;
    let areaMm2 = 0;
    let borders = false;
    for (let head = 0; head < size; head++) {
      const tri = island[head]!;
      areaMm2 += Math.sqrt(normals[tri * 3]! ** 2 + normals[tri * 3 + 1]! ** 2 + normals[tri * 3 + 2]! ** 2) / 2;
      for (let h = tri * 3; h < tri * 3 + 3; h++) {
        if (twins[h] === NONE) continue;
        const next = (twins[h]! / 3) | 0;
        if (labels[next] !== labels[tri]) borders = true;
        if (labels[next] !== labels[tri] || seen[next] === 1) continue;
        seen[next] = 1;
        island[size++] = next;
      }
    }
    if (!borders || areaMm2 >= leastMm2) continue;
    for (let i = 0; i < size; i++) out[island[i]!] = labels[seed] === 1 ? 0 : 1;
  }
  return out;
}
