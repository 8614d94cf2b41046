// What a repair changed, in numbers and with a place: the workshop turns it into words.
import type { Vec3 } from '../../mesh/mesh.ts';

/** What was done to the surface. */
export type MendKind =
  | 'triangles-flat-removed'
  | 'triangles-double-removed'
  | 'vertices-joined'
  | 'edges-split'
  | 'triangles-turned'
  | 'edges-parted'
  | 'points-parted'
  | 'holes-filled'
  | 'shells-turned'
  | 'crumbs-removed'
  | 'shells-united'
  | 'crossings-patched'
  | 'sheets-thickened'
  | 'surface-rebuilt';

export interface MendStep {
  readonly kind: MendKind;
  /** How many triangles, vertices, edges, holes, shells or pairs, as the kind says. */
  readonly count: number;
  /** The largest single change, mm: how far a vertex moved, how long the longest hole was round, how far the surface lies from
   *  the input. Null where nothing moved. */
  readonly largestMm: number | null;
  /** Where that largest (or first) change is, in the space of the mesh. */
  readonly atMm: Vec3 | null;
}
