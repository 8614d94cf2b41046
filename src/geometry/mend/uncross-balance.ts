// Patches too narrow to be judged by themselves: kept or left out so that the surface stays closed along their borders.
import { halfEdgeTwins, nextHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, NONE, numVerts } from '../../mesh/mesh.ts';

/** What is known of a patch. */
export const LEFT_OUT = 0;
export const KEPT = 1;
export const UNCLEAR = 2;

/** Settles unclear patches, in place: along an edge where every other patch is known, one is kept if the kept faces would otherwise
 *  run more often one way than the other, and left out if they are even already; the edges of a patch vote. Patches that no
 *  edge settles are left out. Cost: O(border edges) a round, few rounds. */
export function settleByBorders(mesh: Mesh, patchOfTri: Int32Array, state: Uint8Array): void {
  if (!state.includes(UNCLEAR)) return;
  const { byEdge, ofPatch } = borders(mesh, patchOfTri, state);
  for (let settled = 1; settled > 0; ) {
    settled = 0;
    for (const [patch, edges] of ofPatch) {
      if (state[patch] !== UNCLEAR) continue;
      let votes = 0;
      for (const key of edges) votes += voteOf(byEdge.get(key)!, patch, { mesh, patchOfTri, state });
      if (votes === 0) continue;
      state[patch] = votes > 0 ? KEPT : LEFT_OUT;
      settled++;
    }
  }
  for (let patch = 0; patch < state.length; patch++) if (state[patch] === UNCLEAR) state[patch] = LEFT_OUT;
}

interface Judged {
  readonly mesh: Mesh;
  readonly patchOfTri: Int32Array;
  readonly state: Uint8Array;
}

/** 1 for keeping, -1 for leaving out, 0 when the edge cannot tell. */
function voteOf(halfEdges: readonly number[], patch: number, { mesh, patchOfTri, state }: Judged): number {
  let [others, own] = [0, 0];
  for (const h of halfEdges) {
    const of = patchOfTri[Math.trunc(h / 3)]!;
    const way = mesh.triangles[h]! < mesh.triangles[nextHalfEdge(h)]! ? 1 : -1;
    if (of === patch) own += way;
    else if (state[of] === UNCLEAR) return 0;
    else if (state[of] === KEPT) others += way;
  }
  if (own === 0) return 0;
  return others === 0 ? -1 : others + own === 0 ? 1 : 0;
}

function borders(
  mesh: Mesh,
  patchOfTri: Int32Array,
  state: Uint8Array,
): { readonly byEdge: Map<number, number[]>; readonly ofPatch: Map<number, Set<number>> } {
  const { triangles } = mesh;
  const byEdge = new Map<number, number[]>();
  const ofPatch = new Map<number, Set<number>>();
  halfEdgeTwins(mesh).forEach((twin, h) => {
    if (twin !== NONE) return;
    const [a, b] = [triangles[h]!, triangles[nextHalfEdge(h)]!];
    const key = Math.min(a, b) * numVerts(mesh) + Math.max(a, b);
    const there = byEdge.get(key);
    if (there === undefined) byEdge.set(key, [h]);
    else there.push(h);
    const patch = patchOfTri[Math.trunc(h / 3)]!;
    if (state[patch] !== UNCLEAR) return;
    const edges = ofPatch.get(patch);
    if (edges === undefined) ofPatch.set(patch, new Set([key]));
    else edges.add(key);
  });
  return { byEdge, ofPatch };
}
