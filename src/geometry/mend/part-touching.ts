// Surfaces that only touch, in a point or along an edge, are given vertices of their own.
import { edgeRings } from '../../mesh/edge-rings.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { MendStep } from './mend-step.ts';
import { pairEdges } from './pair-edges.ts';
import { partPoints } from './part-points.ts';

/** The same surface with one fan at every vertex; the mesh itself where nothing touches. Cost: O(n). */
export function partTouching(mesh: Mesh): { readonly mesh: Mesh; readonly steps: readonly MendStep[] } {
  const { mesh: parted, count, first } = partPoints(mesh, pairEdges(mesh, edgeRings(mesh)), 'part');
  if (count === 0) return { mesh, steps: [] };
  const [x, y, z] = mesh.positions.subarray(3 * first, 3 * first + 3);
  return { mesh: parted, steps: [{ kind: 'points-parted', count, largestMm: null, atMm: [x!, y!, z!] }] };
}
