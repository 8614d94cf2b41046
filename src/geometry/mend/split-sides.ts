// Two pairs of faces may hang in one fan at both ends of their common edge: no parting of points tells them apart, a new point does.
import { nextHalfEdge, previousHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../mesh/mesh.ts';

/** Where more than one pair of mates lies on the same two vertices, every pair but the first gets a vertex in the middle of its edge. The
 *  surface keeps its place. ring: `edgeRings` of the mesh. Null when there is none. A triangle is split once at most: repeat until
 *  null. Cost: O(n). */
export function splitSharedSides(mesh: Mesh, ring: Int32Array, mates: Int32Array): Mesh | null {
  const { positions: p } = mesh;
  const sides = sharedSides(ring, mates);
  if (sides.length === 0) return null;
  const points: number[] = [];
  const more: number[] = [];
  const triangles = mesh.triangles.slice();
  for (const h of sides) {
    const a = 3 * triangles[h]!;
    const b = 3 * triangles[nextHalfEdge(h)]!;
    const middle = numVerts(mesh) + points.length / 3;
    for (let c = 0; c < 3; c++) points.push((p[a + c]! + p[b + c]!) / 2);
    for (const side of [h, mates[h]!]) {
      if (side === NONE) continue;
      more.push(triangles[side]!, middle, triangles[previousHalfEdge(side)]!);
      triangles[side] = middle;
    }
  }
  const positions = new Float64Array(p.length + points.length);
  positions.set(p);
  positions.set(points, p.length);
  const all = new Uint32Array(triangles.length + more.length);
  all.set(triangles);
  all.set(more, triangles.length);
  return meshOf(positions, all);
}

function sharedSides(ring: Int32Array, mates: Int32Array): readonly number[] {
  const isSeen = new Uint8Array(ring.length);
  const isTouched = new Uint8Array(ring.length / 3);
  const sides: number[] = [];
  for (let h = 0; h < ring.length; h++) {
    if (isSeen[h] === 1 || ring[ring[h]!] === h) continue;
    isSeen[h] = 1;
    if (mates[h] !== NONE) isSeen[mates[h]!] = 1;
    for (let g = ring[h]!; g !== h; g = ring[g]!) {
      if (isSeen[g] === 1) continue;
      isSeen[g] = 1;
      const t = Math.trunc(g / 3);
      const u = mates[g] === NONE ? t : Math.trunc(mates[g]! / 3);
      if (mates[g] !== NONE) isSeen[mates[g]!] = 1;
      if (isTouched[t] === 1 || isTouched[u] === 1) continue;
      isTouched[t] = 1;
      isTouched[u] = 1;
      sides.push(g);
    }
  }
  return sides;
}
