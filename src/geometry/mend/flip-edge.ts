// Turning the edge between two triangles into the other diagonal, neighbours and all: shared by patches and by flat triangles.
import { nextHalfEdge, previousHalfEdge } from '../../mesh/half-edges.ts';
import { NONE } from '../../mesh/mesh.ts';

/** Corners and twins of triangles, three each, as half-edges. */
export interface Linked {
  readonly triangles: Uint32Array | number[];
  readonly twins: Int32Array | number[];
}

/** Flips the edge of half-edge h, which must have a twin: the triangles (a b c) and (b a d) become (c d b) and (d c a).
 *  The two must not be one another's neighbours twice, and c and d must not be joined already (`areJoined`). */
export function flipEdge({ triangles, twins }: Linked, h: number): void {
  const g = twins[h]!;
  const h2 = previousHalfEdge(h);
  const g2 = previousHalfEdge(g);
  const c = triangles[h2]!;
  const d = triangles[g2]!;
  const atH2 = twins[h2]!;
  const atG2 = twins[g2]!;
  triangles[h] = d;
  triangles[g] = c;
  link(twins, h, atG2);
  link(twins, g, atH2);
  twins[h2] = g2;
  twins[g2] = h2;
}

/** Is there a triangle side between the start of half-edge `from` and vertex `vert`, in the fan of `from`? */
export function areJoined({ triangles, twins }: Linked, from: number, vert: number): boolean {
  let h = from;
  do {
    if (triangles[nextHalfEdge(h)] === vert || triangles[previousHalfEdge(h)] === vert) return true;
    h = twins[previousHalfEdge(h)]!;
  } while (h !== NONE && h !== from);
  if (h === from) return false;
  for (let g = twins[from]!; g !== NONE; g = twins[h]!) {
    h = nextHalfEdge(g);
    if (triangles[nextHalfEdge(h)] === vert || triangles[previousHalfEdge(h)] === vert) return true;
  }
  return false;
}

function link(twins: Int32Array | number[], h: number, mate: number): void {
  twins[h] = mate;
  if (mate !== NONE) twins[mate] = h;
}
