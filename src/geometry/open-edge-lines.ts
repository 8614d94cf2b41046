// Edges with one face only, as line segments and as lines for pictures.
import { edgeRings, openHalfEdges } from '../mesh/edge-rings.ts';
import { nextHalfEdge } from '../mesh/half-edges.ts';
import { type Mesh, NONE, numVerts } from '../mesh/mesh.ts';

/** Segments (6 numbers each: xyz xyz, single precision); of more than `most` the longest. Triangles must have three different
 *  corners. Cost: O(n). */
export function openEdgeLines(mesh: Mesh, { most }: { readonly most: number }): Float32Array {
  const open = openHalfEdges(edgeRings(mesh));
  const drawn = open.length <= most ? open : longest(mesh, open, most);
  const { positions, triangles } = mesh;
  const out = new Float32Array(drawn.length * 6);
  for (const [i, h] of drawn.entries()) {
    const a = triangles[h]! * 3;
    const b = triangles[nextHalfEdge(h)]! * 3;
    for (let c = 0; c < 3; c++) {
      out[i * 6 + c] = positions[a + c]!;
      out[i * 6 + 3 + c] = positions[b + c]!;
    }
  }
  return out;
}

/** Lines (xyz ...) along open edges; a line that returns to its first point repeats it. Cost: O(n). */
export function openEdgeChains(mesh: Mesh): readonly Float32Array[] {
  const { triangles } = mesh;
  const open = openHalfEdges(edgeRings(mesh));
  const leaving = new Int32Array(numVerts(mesh)).fill(NONE);
  const entered = new Uint8Array(numVerts(mesh));
  for (const h of open) {
    leaving[triangles[h]!] = h;
    entered[triangles[nextHalfEdge(h)]!] = 1;
  }
  const used = new Uint8Array(triangles.length);
  const chains: Float32Array[] = [];
  // First the lines with a beginning, then the rings.
  for (const h of open) if (entered[triangles[h]!] === 0) chains.push(chainFrom(mesh, h, { leaving, used }));
  for (const h of open) if (used[h] === 0) chains.push(chainFrom(mesh, h, { leaving, used }));
  return chains;
}

function chainFrom(mesh: Mesh, first: number, walk: { leaving: Int32Array; used: Uint8Array }): Float32Array {
  const { positions, triangles } = mesh;
  const points: number[] = [];
  const add = (vert: number): void => {
    points.push(positions[vert * 3]!, positions[vert * 3 + 1]!, positions[vert * 3 + 2]!);
  };
  add(triangles[first]!);
  let h = first;
  while (h !== NONE && walk.used[h] === 0) {
    walk.used[h] = 1;
    const to = triangles[nextHalfEdge(h)]!;
    add(to);
    h = walk.leaving[to]!;
  }
  return Float32Array.from(points);
}

function longest(mesh: Mesh, open: Int32Array, most: number): Int32Array {
  const { positions, triangles } = mesh;
  const squared = Float32Array.from(open, (h) => {
    const a = triangles[h]! * 3;
    const b = triangles[nextHalfEdge(h)]! * 3;
    return (
      (positions[a]! - positions[b]!) ** 2 +
      (positions[a + 1]! - positions[b + 1]!) ** 2 +
      (positions[a + 2]! - positions[b + 2]!) ** 2
    );
  });
  const least = squared.slice().sort()[open.length - most]!;
  return open.filter((_, i) => squared[i]! >= least).slice(0, most);
}
