// How far two surfaces that are mostly the same triangles lie apart: only what differs is measured.
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { closestPoints } from '../../src/mesh/closest-point.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';

/** Largest distance, mm, from the corners and middles of triangles of `other` that are not in the first mesh to it, and from the corners
 *  of triangles that are missing in `other` to that. Prepared once per first mesh. */
export function surfaceGap(mesh: Mesh): (other: Mesh) => number {
  const tree = buildBoundingTree(mesh);
  const own = placesOf(mesh, new Map());
  const known = new Map<string, number>();
  for (let t = 0; t < mesh.triangles.length; t += 3) known.set(keyOf(mesh, own.names, t), t);
  return (other) => {
    const names = placesOf(other, own.places).names;
    const strange: number[] = [];
    const isFound = new Uint8Array(mesh.triangles.length / 3);
    for (let t = 0; t < other.triangles.length; t += 3) {
      const found = known.get(keyOf(other, names, t));
      if (found === undefined) pushPoints(other, t, strange);
      else isFound[found / 3] = 1;
    }
    const missing: number[] = [];
    for (let t = 0; t < isFound.length; t++) if (isFound[t] === 0) pushPoints(mesh, 3 * t, missing);
    if (strange.length + missing.length === 0) return 0;
    return Math.max(farthest(tree, strange), farthest(buildBoundingTree(other), missing));
  };
}

function placesOf(mesh: Mesh, places: Map<string, number>): { names: Int32Array; places: Map<string, number> } {
  const names = new Int32Array(mesh.positions.length / 3);
  for (let v = 0; v < names.length; v++) {
    const key = `${mesh.positions[3 * v]},${mesh.positions[3 * v + 1]},${mesh.positions[3 * v + 2]}`;
    const known = places.get(key);
    names[v] = known ?? places.size;
    if (known === undefined) places.set(key, places.size);
  }
  return { names, places };
}

function keyOf({ triangles }: Mesh, names: Int32Array, t: number): string {
  const [a, b, c] = [names[triangles[t]!]!, names[triangles[t + 1]!]!, names[triangles[t + 2]!]!];
  if (a < b && a < c) return `${a},${b},${c}`;
  return b < c ? `${b},${c},${a}` : `${c},${a},${b}`;
}

function pushPoints({ positions, triangles }: Mesh, t: number, out: number[]): void {
  const middle = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    for (let c = 0; c < 3; c++) {
      const x = positions[3 * triangles[t + k]! + c]!;
      out.push(x);
      middle[c]! += x / 3;
    }
  }
  out.push(...middle);
}

function farthest(tree: ReturnType<typeof buildBoundingTree>, points: readonly number[]): number {
  const count = points.length / 3;
  const out = { tri: new Int32Array(count), distanceMm: new Float64Array(count) };
  closestPoints(tree, Float64Array.from(points), out);
  return out.distanceMm.reduce((most, d) => Math.max(most, d), 0);
}
