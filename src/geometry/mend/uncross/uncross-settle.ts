// Patches that rounding has put on the wrong side: kept or left out instead, where the surface closes better that way.
import { nextHalfEdge } from '../../../mesh/half-edges.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import type { BorderEdges } from './uncross-levels.ts';

/** Turns over, in place, one patch after the other as long as an edge with more kept faces one way than the other becomes even by it and
 *  no more edges become uneven: those are patches a rounding wide. Cost: O(border edges), and again those of few patches for each turned. */
export function settleUneven(mesh: Mesh, patchOfTri: Int32Array, edges: BorderEdges, isKept: Int32Array): void {
  const settling: Settling = { mesh, patchOfTri, edges, isKept };
  const numEdges = edges.starts.length - 1;
  const uneven = new Set<number>();
  for (let e = 0; e < numEdges; e++) if (unevenness(settling, e) !== 0) uneven.add(e);
  if (uneven.size === 0 || uneven.size > MOST_UNEVEN) return;
  const edgesOf = edgesOfPatches(settling);
  for (let turn = 0; turn < MOST_TURNED && uneven.size > 0; turn++) {
    const patch = bestToTurn(settling, uneven, edgesOf);
    if (patch === null) return;
    isKept[patch] = 1 - isKept[patch]!;
    for (const e of edgesOf(patch)) {
      if (unevenness(settling, e) !== 0) uneven.add(e);
      else uneven.delete(e);
    }
  }
}

const MOST_TURNED = 200;
/** More than rounding spoils: something else is wrong. */
const MOST_UNEVEN = 1000;

interface Settling {
  readonly mesh: Mesh;
  readonly patchOfTri: Int32Array;
  readonly edges: BorderEdges;
  readonly isKept: Int32Array;
}

/** Kept faces at an edge that run one way, less those that run the other; those of one patch counted the other way round. */
function unevenness({ mesh, patchOfTri, edges, isKept }: Settling, e: number, turned = -1): number {
  let sum = 0;
  for (let i = edges.starts[e]!; i < edges.starts[e + 1]!; i++) {
    const h = edges.halfEdges[i]!;
    const patch = patchOfTri[Math.trunc(h / 3)]!;
    if ((isKept[patch] === 1) === (patch !== turned))
      sum += mesh.triangles[h]! < mesh.triangles[nextHalfEdge(h)]! ? 1 : -1;
  }
  return Math.abs(sum);
}

function bestToTurn(
  settling: Settling,
  uneven: ReadonlySet<number>,
  edgesOf: (patch: number) => readonly number[],
): number | null {
  const { patchOfTri, edges } = settling;
  const tried = new Set<number>();
  let best: number | null = null;
  let most = 0;
  for (const e of uneven)
    for (let i = edges.starts[e]!; i < edges.starts[e + 1]!; i++) {
      const patch = patchOfTri[Math.trunc(edges.halfEdges[i]! / 3)]!;
      if (tried.has(patch)) continue;
      tried.add(patch);
      let gain = 0;
      for (const edge of edgesOf(patch)) gain += unevenness(settling, edge) - unevenness(settling, edge, patch);
      if (gain > most) [most, best] = [gain, patch];
    }
  return best;
}

function edgesOfPatches({ patchOfTri, edges, isKept }: Settling): (patch: number) => readonly number[] {
  const lists: number[][] = Array.from({ length: isKept.length }, () => []);
  for (let e = 0; e + 1 < edges.starts.length; e++)
    for (let i = edges.starts[e]!; i < edges.starts[e + 1]!; i++) {
      const list = lists[patchOfTri[Math.trunc(edges.halfEdges[i]! / 3)]!]!;
      if (list.at(-1) !== e) list.push(e);
    }
  return (patch) => lists[patch]!;
}
