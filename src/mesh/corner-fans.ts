// Which corners at a vertex hang together through shared edges: one fan where the surface is sound, more where it is pinched.
import { nextHalfEdge } from './half-edges.ts';
import { type Mesh, NONE } from './mesh.ts';

/** numTris*3: for every corner the first corner of its fan. links: per half-edge another one on the same edge (a ring or a mate);
 *  itself or NONE for none. Cost: O(n), some 0.1 s per million triangles. Method: union-find with halving paths. */
export function cornerFans({ triangles }: Mesh, links: Int32Array): Int32Array {
  const fanOf = new Int32Array(triangles.length);
  for (let h = 0; h < fanOf.length; h++) fanOf[h] = h;
  for (let h = 0; h < triangles.length; h++) {
    const g = links[h]!;
    if (g === NONE || g === h) continue;
    const h1 = nextHalfEdge(h);
    const g1 = nextHalfEdge(g);
    const alike = triangles[h] === triangles[g];
    joinFans(fanOf, h, alike ? g : g1);
    joinFans(fanOf, h1, alike ? g1 : g);
  }
  for (let h = 0; h < fanOf.length; h++) fanOf[h] = fanOf[fanOf[h]!]!;
  return fanOf;
}

/** Makes two fans one. The smaller corner stays the name, so that names are always first corners. */
export function joinFans(fanOf: Int32Array, a: number, b: number): void {
  const first = firstOf(fanOf, a);
  const second = firstOf(fanOf, b);
  if (first < second) fanOf[second] = first;
  else fanOf[first] = second;
}

/** The first corner of the fan of a corner, while fans are still being joined. */
export function firstOf(fanOf: Int32Array, corner: number): number {
  let c = corner;
  while (fanOf[c] !== c) {
    fanOf[c] = fanOf[fanOf[c]!]!;
    c = fanOf[c]!;
  }
  return c;
}

/** How many vertices have more than one fan, and the first of them (NONE). */
export function pinchedVerts({ triangles, positions }: Mesh, fanOf: Int32Array): { count: number; first: number } {
  const fans = new Uint8Array(positions.length / 3);
  let count = 0;
  let first = NONE;
  for (let h = 0; h < triangles.length; h++) {
    if (fanOf[h] !== h) continue;
    const v = triangles[h]!;
    if (fans[v] === 1) {
      count++;
      if (first === NONE) first = v;
    }
    if (fans[v]! < 2) fans[v]!++;
  }
  return { count, first };
}
