// Within which earlier cuts a seam lies: those without which its plane would cut more than it does.
import type { Plane } from '../../../geometry/plane.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import type { CutPart, MadeCut, PathStep } from './exact-division.ts';

/** A piece that reaches over a plane by less than this, and what the plane's seams bow, only touches it. */
const TOUCHES_MM = 2;

/** Indices into `cuts`, in the order of cutting: the earlier cuts that keep the plane of a seam from cutting pieces which it does not
 *  cut. When the seam is to stay, these have to stay with it. Cost: O(vertices of the pieces). */
export function neededBounds(
  parts: readonly CutPart[],
  cuts: readonly MadeCut[],
  seam: { readonly below: number; readonly cut: number; readonly plane: Plane; readonly bowMm: number },
): number[] {
  const own = parts[seam.below]!.path;
  const node = own.slice(
    0,
    own.findIndex(({ cut }) => cut === seam.cut),
  );
  const needed = new Set<number>();
  for (const { part, path } of parts) {
    const bound = partingStep(node, path, seam.cut);
    if (bound === null || needed.has(bound) || cuts[bound] === undefined) continue;
    if (reachesOver(part.mesh, seam.plane, TOUCHES_MM + seam.bowMm)) needed.add(bound);
  }
  return [...needed].sort((a, b) => a - b);
}

/** The cut that parts a piece from the part in which a seam was made; null for the pieces of that part. */
function partingStep(node: readonly PathStep[], path: readonly PathStep[], cut: number): number | null {
  for (const [i, step] of node.entries())
    if (path[i]?.cut !== step.cut || path[i]?.side !== step.side)
      return node[i]!.cut === path[i]?.cut ? step.cut : (node[i - 1]?.cut ?? null);
  // not cut by it, though on the same side of all: the last cut has left it a part of its own
  return path[node.length]?.cut === cut ? null : (node.at(-1)?.cut ?? null);
}

function reachesOver({ positions: p }: Mesh, { normal: [nx, ny, nz], offsetMm }: Plane, byMm: number): boolean {
  let low = false;
  let high = false;
  for (let i = 0; i < p.length; i += 3) {
    const d = p[i]! * nx + p[i + 1]! * ny + p[i + 2]! * nz - offsetMm;
    if (d < -byMm) low = true;
    else if (d > byMm) high = true;
    if (low && high) return true;
  }
  return false;
}
