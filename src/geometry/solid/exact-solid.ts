// Solids in and out of the kernel in double precision. Its meshes hold single precision, its solids do not: they are built on stand-in
// places that name their vertices, and moved to where they belong inside the kernel.
import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import { invariant } from '../../base/invariant.ts';
import { type Mesh, meshOf, NONE, numTris, numVerts } from '../../mesh/mesh.ts';

/** A triangle mesh as the kernel gave it back, with where each triangle came from. */
export interface SourcedMesh {
  readonly mesh: Mesh;
  /** numTris: id of the solid that the triangle came from. */
  readonly solidId: Uint32Array;
  /** numTris: its triangle there. */
  readonly solidTri: Uint32Array;
}

/** A solid whose vertices lie at the very doubles of the mesh and whose triangles are known by `id` and number. The mesh is taken as it is:
 *  short edges and needles stay. The caller deletes it. Throws when the mesh is no closed surface, and beyond 16.7 million vertices. */
export function exactSolid(module: ManifoldToplevel, mesh: Mesh, id: number): Manifold {
  invariant(numVerts(mesh) <= MOST_VERTS, `a solid of ${numVerts(mesh)} vertices`);
  for (let seed = 1; seed <= MOST_SEEDS; seed++) {
    const stood = standIn(module, mesh, id, seed);
    try {
      const nameOf = namesIn(stood, mesh);
      if (nameOf === null) continue;
      const placed = stood.warpBatch((positions, count) => {
        for (let i = 0; i < count; i++) {
          const v = nameOf[i]! * 3;
          for (let k = 0; k < 3; k++) positions[i * 3 + k] = mesh.positions[v + k]!;
        }
      });
      try {
        return placed.setTolerance(0);
      } finally {
        placed.delete();
      }
    } finally {
      stood.delete();
    }
  }
  throw new Error('the surface of a solid was not taken over as it is');
}

/** Reads a solid with its vertices at the kernel's own doubles. Triangles come sorted by where they are from, vertices in the order of
 *  their triangles, so that the same solid always reads the same. */
export function readExactly(solid: Manifold): SourcedMesh {
  const { triVerts, faceID, runIndex, runOriginalID, numVert } = solid.getMesh();
  let exact = new Float64Array(0);
  solid
    .warpBatch((positions, count) => {
      exact = positions.slice(0, count * 3);
    })
    .delete();
  invariant(exact.length === numVert * 3, 'a solid read twice has other vertices');
  const count = triVerts.length / 3;
  const id = new Uint32Array(count);
  for (let run = 0; run < runOriginalID.length; run++)
    id.fill(runOriginalID[run]!, runIndex[run]! / 3, runIndex[run + 1]! / 3);
  const order = Uint32Array.from({ length: count }, (_, tri) => tri);
  order.sort((a, b) => id[a]! - id[b]! || faceID[a]! - faceID[b]! || a - b);
  const handle = new Int32Array(numVert).fill(NONE);
  const positions = new Float64Array(numVert * 3);
  const triangles = new Uint32Array(count * 3);
  let used = 0;
  for (let i = 0; i < triangles.length; i++) {
    const v = triVerts[order[Math.trunc(i / 3)]! * 3 + (i % 3)]!;
    if (handle[v] === NONE) {
      for (let k = 0; k < 3; k++) positions[used * 3 + k] = exact[v * 3 + k]!;
      handle[v] = used++;
    }
    triangles[i] = handle[v]!;
  }
  return {
    mesh: meshOf(positions.slice(0, used * 3), triangles),
    solidId: Uint32Array.from(order, (tri) => id[tri]!),
    solidTri: Uint32Array.from(order, (tri) => faceID[tri]!),
  };
}

/** Names that fit into the digits of a single-precision number. */
const NAME_BITS = 24;
const MOST_VERTS = 2 ** NAME_BITS;
/** Stand-in places that make a triangle without area are thrown again. */
const MOST_SEEDS = 12;

/** The mesh with its vertices strewn in a unit cube, x being the vertex's name: no two lie together, no edge is short, and the kernel finds
 *  nothing to tidy up. */
function standIn(module: ManifoldToplevel, mesh: Mesh, id: number, seed: number): Manifold {
  const places = new Float32Array(mesh.positions.length);
  for (let v = 0, i = 0; i < places.length; v++, i += 3) {
    places[i] = reversed(v) / MOST_VERTS;
    places[i + 1] = strewn(v, seed);
    places[i + 2] = strewn(v, seed + MOST_SEEDS);
  }
  return new module.Manifold(
    new module.Mesh({
      numProp: 3,
      vertProperties: places,
      triVerts: mesh.triangles,
      faceID: Uint32Array.from({ length: numTris(mesh) }, (_, tri) => tri),
      runIndex: Uint32Array.of(0, mesh.triangles.length),
      runOriginalID: Uint32Array.of(id),
    }),
  );
}

/** Per vertex of the solid the vertex of the mesh; null when the kernel did change a triangle. */
function namesIn(stood: Manifold, mesh: Mesh): Uint32Array | null {
  const { vertProperties, triVerts, faceID, numVert } = stood.getMesh();
  if (triVerts.length !== mesh.triangles.length) return null;
  const nameOf = new Uint32Array(numVert);
  for (let v = 0; v < numVert; v++) nameOf[v] = reversed(Math.round(vertProperties[v * 3]! * MOST_VERTS));
  const { triangles } = mesh;
  for (let tri = 0; tri < faceID.length; tri++) {
    const t = faceID[tri]! * 3;
    const [a, b, c] = [nameOf[triVerts[tri * 3]!]!, nameOf[triVerts[tri * 3 + 1]!]!, nameOf[triVerts[tri * 3 + 2]!]!];
    const turn = a === triangles[t] ? 0 : a === triangles[t + 1] ? 1 : 2;
    if (a !== triangles[t + turn] || b !== triangles[t + ((turn + 1) % 3)] || c !== triangles[t + ((turn + 2) % 3)])
      return null;
  }
  return nameOf;
}

/** The bits of a name in reverse, so that neighbours in number lie far apart. */
function reversed(name: number): number {
  let x = name;
  x = ((x >>> 1) & 0x55555555) | ((x & 0x55555555) << 1);
  x = ((x >>> 2) & 0x33333333) | ((x & 0x33333333) << 2);
  x = ((x >>> 4) & 0x0f0f0f0f) | ((x & 0x0f0f0f0f) << 4);
  x = ((x >>> 8) & 0x00ff00ff) | ((x & 0x00ff00ff) << 8);
  x = (x >>> 16) | (x << 16);
  return x >>> (32 - NAME_BITS);
}

/** A number from 0 to 1 that a vertex always gets. */
function strewn(vert: number, seed: number): number {
  let x = Math.imul(vert + 1, 0x9e3779b1) ^ Math.imul(seed, 0x85ebca6b);
  x = Math.imul(x ^ (x >>> 15), 0x2c1b3c6d);
  x = Math.imul(x ^ (x >>> 12), 0x297a2d39);
  return ((x ^ (x >>> 15)) >>> 8) / MOST_VERTS;
}
