// Pockets and flakes that exist only because touching surfaces were moved a hair apart.
import { type Mesh, meshOf, numTris } from '../../../mesh/mesh.ts';
import { surfaceCheck } from '../../../mesh/topology.ts';
import { compactMesh } from '../../../mesh/weld.ts';

/** Leaves out closed shells that are nowhere much thicker than `thickMm`, by volume over area. The mesh itself when there is none. O(n). */
export function withoutSlivers(mesh: Mesh, thickMm: number): Mesh {
  const { shells, shellOfTri } = surfaceCheck(mesh);
  if (shells < 2 || !(thickMm > 0)) return mesh;
  const volume = new Float64Array(shells);
  const area = new Float64Array(shells);
  const first = new Int32Array(shells).fill(-1);
  for (let t = 0; t < numTris(mesh); t++) {
    const shell = shellOfTri[t]!;
    if (first[shell] === -1) first[shell] = mesh.triangles[3 * t]!;
    addTriangle(mesh, t, first[shell]!, (area2, volume6) => {
      area[shell]! += area2 / 2;
      volume[shell]! += volume6 / 6;
    });
  }
  const isSliver = volume.map((mm3, shell) => (Math.abs(mm3) < 0.5 * thickMm * area[shell]! ? 1 : 0));
  if (!isSliver.includes(1) || !isSliver.includes(0)) return mesh;
  const kept = mesh.triangles.filter((_, h) => isSliver[shellOfTri[Math.trunc(h / 3)]!] === 0);
  return compactMesh(meshOf(mesh.positions, kept));
}

/** Twice the area of a triangle and six times the volume between it and a vertex of its shell. */
function addTriangle(
  { positions: p, triangles }: Mesh,
  t: number,
  from: number,
  add: (area2: number, volume6: number) => void,
): void {
  const [a, b, c] = [3 * triangles[3 * t]!, 3 * triangles[3 * t + 1]!, 3 * triangles[3 * t + 2]!];
  const minus = (i: number, j: number, k: number): number => p[i + k]! - p[j + k]!;
  const n = [0, 1, 2].map((k) => {
    const [y, z] = [(k + 1) % 3, (k + 2) % 3];
    return minus(b, a, y) * minus(c, a, z) - minus(b, a, z) * minus(c, a, y);
  }) as [number, number, number];
  const o = 3 * from;
  add(Math.hypot(...n), n[0] * minus(a, o, 0) + n[1] * minus(a, o, 1) + n[2] * minus(a, o, 2));
}
