// Stray triangles that bound nothing: what is left of a soup, and walls inside that end in the surface all round.
import { type Mesh, meshOf, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { compactMesh } from '../../mesh/weld.ts';
import { shellAreas } from './holes/rims.ts';
import type { MendStep } from './mend-step.ts';
import type { PairedEdges } from './pair-edges.ts';

/** An open shell smaller than this share of the whole area, and of no more than so many triangles, is a crumb. A wall inside may have
 *  a larger share; what is more than that may be a body whose lid went to its neighbour. */
export const CRUMB_LIMITS = { mostShare: 1e-4, mostTriangles: 12, mostWallShare: 0.1 } as const;

/** Leaves out open shells that are crumbs, and those all of whose open edges lie on crowded edges: such a wall parts the inside and ends
 *  nowhere. The largest shell always stays. Null when there is none. The step counts shells. Cost: O(n). */
export function removeCrumbs(mesh: Mesh, { mates, isLeftOver }: PairedEdges): { mesh: Mesh; step: MendStep } | null {
  if (!mates.includes(NONE)) return null;
  const { shellOf, areas } = shellAreas(mesh, mates);
  const size = new Int32Array(areas.length);
  const open = new Int32Array(areas.length);
  const left = new Int32Array(areas.length);
  for (let h = 0; h < mates.length; h++) {
    const s = shellOf[Math.trunc(h / 3)]!;
    if (h % 3 === 0) size[s]!++;
    if (mates[h] !== NONE) continue;
    open[s]!++;
    if (isLeftOver[h] === 1) left[s]!++;
  }
  const whole = areas.reduce((sum, area) => sum + area, 0);
  const largest = areas.reduce((best, area, s) => (area > areas[best]! ? s : best), 0);
  const isCrumb = areas.map((area, s) => {
    if (s === largest || open[s] === 0) return false;
    if (left[s] === open[s] && area <= CRUMB_LIMITS.mostWallShare * whole) return true;
    return area <= CRUMB_LIMITS.mostShare * whole && size[s]! <= CRUMB_LIMITS.mostTriangles;
  });
  const count = isCrumb.filter(Boolean).length;
  if (count === 0) return null;
  const first = shellOf.findIndex((s) => isCrumb[s]!);
  const triangles = mesh.triangles.filter((_, h) => !isCrumb[shellOf[Math.trunc(h / 3)]!]);
  const step: MendStep = { kind: 'crumbs-removed', count, largestMm: null, atMm: placeOf(mesh, first) };
  return { mesh: compactMesh(meshOf(mesh.positions, triangles)), step };
}

function placeOf({ positions, triangles }: Mesh, t: number): Vec3 {
  const v = 3 * triangles[3 * t]!;
  return [positions[v]!, positions[v + 1]!, positions[v + 2]!];
}
