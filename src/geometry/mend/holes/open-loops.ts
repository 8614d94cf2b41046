// The ways round every hole: simple loops of open half-edges, told apart where holes touch at a vertex.
import { nextHalfEdge } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE, numVerts } from '../../../mesh/mesh.ts';

/** Loops of open half-edges of a consistently oriented mesh: each begins where the one before it ends, and no loop passes a vertex
 *  twice, so that two holes that touch come out as two. open: half-edges that have no mate (`openHalfEdges`). Chains that do not close
 *  (a clashing or crowded edge lies between) are left out. Cost: O(open edges).
 *  Method: walk until a vertex comes round again, then cut the loop off what has been walked; docs/methods/hole-filling.md. */
export function simpleLoops(mesh: Mesh, open: Int32Array): readonly Int32Array[] {
  const { triangles } = mesh;
  const walk = startWalk(mesh, open);
  const loops: Int32Array[] = [];
  for (const first of open) {
    if (walk.isUsed[first] === 1) continue;
    const path: number[] = [];
    for (let h = first; h !== NONE; ) {
      walk.isUsed[h] = 1;
      walk.depthOf[triangles[h]!] = path.length;
      path.push(h);
      const end = triangles[nextHalfEdge(h)]!;
      const from = walk.depthOf[end]!;
      if (from !== NONE) loops.push(cutOff(triangles, path, { from, depthOf: walk.depthOf }));
      h = takeLeaving(walk, triangles, end);
    }
    for (const h of path) walk.depthOf[triangles[h]!] = NONE;
  }
  return loops;
}

interface Walk {
  readonly isUsed: Uint8Array;
  /** Per vertex: where on the present path it is left; NONE. */
  readonly depthOf: Int32Array;
  /** Per vertex: the last open half-edge that leaves it, and per half-edge the one before. */
  readonly leaving: Int32Array;
  readonly before: Map<number, number>;
}

function startWalk(mesh: Mesh, open: Int32Array): Walk {
  const leaving = new Int32Array(numVerts(mesh)).fill(NONE);
  const before = new Map<number, number>();
  for (const h of open) {
    const v = mesh.triangles[h]!;
    if (leaving[v] !== NONE) before.set(h, leaving[v]!);
    leaving[v] = h;
  }
  const depthOf = new Int32Array(numVerts(mesh)).fill(NONE);
  return { isUsed: new Uint8Array(mesh.triangles.length), depthOf, leaving, before };
}

function takeLeaving(walk: Walk, triangles: Uint32Array, vert: number): number {
  let h = walk.leaving[vert]!;
  while (h !== NONE && walk.isUsed[h] === 1) h = walk.before.get(h) ?? NONE;
  walk.leaving[vert] = h;
  return h === NONE || triangles[h] !== vert ? NONE : h;
}

function cutOff(
  triangles: Uint32Array,
  path: number[],
  { from, depthOf }: { readonly from: number; readonly depthOf: Int32Array },
): Int32Array {
  const loop = Int32Array.from(path.slice(from));
  for (const h of loop) depthOf[triangles[h]!] = NONE;
  path.length = from;
  return loop;
}
