// Which half-edges lie on the same edge, however many they are and whichever way they run: what mending looks at.
import { type Mesh, NONE, numVerts } from './mesh.ts';

/** numTris*3: the next half-edge along the same edge, in a ring. An open edge is its own ring, an ordinary edge a ring of two.
 *  Triangles must have three different corners. Cost: O(n), some 0.05 s per million triangles; no hashing.
 *  Method: counting sort by smaller vertex; docs/methods/topology.md. */
export function edgeRings({ triangles, positions }: Mesh): Int32Array {
  const numVertices = positions.length / 3;
  const start = new Uint32Array(numVertices + 1);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    start[(a < b ? a : b) + 1]!++;
    start[(b < c ? b : c) + 1]!++;
    start[(c < a ? c : a) + 1]!++;
  }
  for (let v = 1; v <= numVertices; v++) start[v] = start[v]! + start[v - 1]!;
  return closeRings(triangles, start, bucketed(triangles, start));
}

function bucketed(triangles: Uint32Array, start: Uint32Array): Uint32Array {
  const fill = start.slice();
  const order = new Uint32Array(triangles.length);
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h]!;
    const b = triangles[h % 3 === 2 ? h - 2 : h + 1]!;
    order[fill[a < b ? a : b]!++] = h;
  }
  return order;
}

function closeRings(triangles: Uint32Array, start: Uint32Array, order: Uint32Array): Int32Array {
  const ring = new Int32Array(triangles.length);
  const firstAt = new Int32Array(start.length - 1).fill(NONE);
  for (let v = 0; v + 1 < start.length; v++) {
    for (let i = start[v]!; i < start[v + 1]!; i++) {
      const h = order[i]!;
      const a = triangles[h]!;
      const other = a === v ? triangles[h % 3 === 2 ? h - 2 : h + 1]! : a;
      const first = firstAt[other]!;
      if (first === NONE) {
        firstAt[other] = h;
        ring[h] = h;
      } else {
        ring[h] = ring[first]!;
        ring[first] = h;
      }
    }
    for (let i = start[v]!; i < start[v + 1]!; i++) {
      const h = order[i]!;
      const a = triangles[h]!;
      firstAt[a === v ? triangles[h % 3 === 2 ? h - 2 : h + 1]! : a] = NONE;
    }
  }
  return ring;
}

/** The half-edges that are alone on their edge, in order. */
export function openHalfEdges(ring: Int32Array): Int32Array {
  let count = 0;
  for (let h = 0; h < ring.length; h++) if (ring[h] === h) count++;
  const open = new Int32Array(count);
  count = 0;
  for (let h = 0; h < ring.length; h++) if (ring[h] === h) open[count++] = h;
  return open;
}

/** The vertices that open edges end in, each once, ascending. */
export function openVerts(mesh: Mesh, open: Int32Array): Uint32Array {
  const isOpen = new Uint8Array(numVerts(mesh));
  for (const h of open) {
    isOpen[mesh.triangles[h]!] = 1;
    isOpen[mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]!] = 1;
  }
  const verts: number[] = [];
  for (let v = 0; v < isOpen.length; v++) if (isOpen[v] === 1) verts.push(v);
  return Uint32Array.from(verts);
}
