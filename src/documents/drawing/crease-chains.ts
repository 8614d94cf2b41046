// Sharp edges of a mesh, joined to lines along its vertices.
import { halfEdgeTwins, nextHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, NONE, numVerts } from '../../mesh/mesh.ts';

/** Chains of vertices along edges whose two faces differ in direction by more than `angleDeg`, and along edges with one
 *  face only. A chain ends where other than two such edges meet; a loop repeats its first vertex.
 *  Cost: O(n).  Weak: a coarse tessellation of a round surface has sharp edges too. */
export function creaseChains(mesh: Mesh, angleDeg: number): Uint32Array[] {
  const { triangles } = mesh;
  const twins = halfEdgeTwins(mesh);
  const sharp = sharpEdges(mesh, twins, Math.cos((angleDeg * Math.PI) / 180));
  const around = edgesAround(mesh, sharp);
  const used = new Uint8Array(triangles.length);
  const chains: Uint32Array[] = [];
  const follow = (h: number, from: number): void => {
    const chain = [from];
    let at = from;
    let edge = h;
    while (edge !== NONE && used[edge] === 0) {
      used[edge] = 1;
      at = otherEnd(triangles, edge, at);
      chain.push(at);
      edge = around.count[at] === 2 ? nextAround(around, at, edge) : NONE;
    }
    chains.push(Uint32Array.from(chain));
  };
  for (const h of sharp) if (used[h] === 0 && around.count[triangles[h]!] !== 2) follow(h, triangles[h]!);
  for (const h of sharp) {
    const to = triangles[nextHalfEdge(h)]!;
    if (used[h] === 0 && around.count[to] !== 2) follow(h, to);
  }
  for (const h of sharp) if (used[h] === 0) follow(h, triangles[h]!);
  return chains;
}

/** One half-edge of every sharp edge. */
function sharpEdges(mesh: Mesh, twins: Int32Array, cosLimit: number): Uint32Array {
  const { triangles } = mesh;
  const normals = faceNormals(mesh);
  const found: number[] = [];
  for (let h = 0; h < triangles.length; h++) {
    const twin = twins[h]!;
    if (twin === NONE) found.push(h);
    if (twin < h) continue;
    const t = h - (h % 3);
    const o = twin - (twin % 3);
    const cos = normals[t]! * normals[o]! + normals[t + 1]! * normals[o + 1]! + normals[t + 2]! * normals[o + 2]!;
    if (cos < cosLimit) found.push(h);
  }
  return Uint32Array.from(found);
}

interface Around {
  readonly count: Uint32Array;
  readonly start: Uint32Array;
  readonly edges: Uint32Array;
}

function edgesAround(mesh: Mesh, sharp: Uint32Array): Around {
  const { triangles } = mesh;
  const count = new Uint32Array(numVerts(mesh));
  for (const h of sharp) {
    count[triangles[h]!]!++;
    count[triangles[nextHalfEdge(h)]!]!++;
  }
  const start = new Uint32Array(count.length + 1);
  for (let v = 0; v < count.length; v++) start[v + 1] = start[v]! + count[v]!;
  const fill = start.slice();
  const edges = new Uint32Array(sharp.length * 2);
  for (const h of sharp) {
    edges[fill[triangles[h]!]!++] = h;
    edges[fill[triangles[nextHalfEdge(h)]!]!++] = h;
  }
  return { count, start, edges };
}

function nextAround(around: Around, vert: number, edge: number): number {
  const first = around.edges[around.start[vert]!]!;
  return first === edge ? around.edges[around.start[vert]! + 1]! : first;
}

function otherEnd(triangles: Uint32Array, h: number, vert: number): number {
  const from = triangles[h]!;
  return from === vert ? triangles[nextHalfEdge(h)]! : from;
}

function faceNormals({ positions: p, triangles }: Mesh): Float32Array {
  const normals = new Float32Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const length = Math.sqrt(x * x + y * y + z * z) || 1;
    normals[t] = x / length;
    normals[t + 1] = y / length;
    normals[t + 2] = z / length;
  }
  return normals;
}
