// What the Model chapter hands on.

import type { MendStep } from '../../geometry/mend/mend-step.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import type { Transform } from '../../mesh/transform.ts';

/** A way into the hollow of the shell: the neck, the eye opening, a breathing hole. Model space, mm. */
export interface Opening {
  readonly name: 'neck' | 'front' | 'other';
  readonly centreMm: Vec3;
  /** Unit vector out of the hollow. */
  readonly outward: Vec3;
  /** Share of all directions seen through it from inside the hollow, 0 to 1. */
  readonly share: number;
  /** Once round its edge, mm. */
  readonly rimMm: number;
}

/** What was done to the surface as read, so that it bounds a solid; places in model space, mm, at the size of the file. */
export interface MendedRecord {
  /** The mesh as read from the file, welded, file space. */
  readonly asRead: MeshId;
  readonly steps: readonly MendStep[];
  /** How far the surface lies from the one that was read, measured, where it was not mended exactly; null where it was. */
  readonly deviation: { readonly maxMm: number; readonly p99Mm: number; readonly atMm: Vec3 | null } | null;
  /** Side of a cell where the surface was rebuilt or a sheet was given a wall, mm. */
  readonly cellMm: number | null;
}

export type Confidence = 'given' | 'sure' | 'likely' | 'unsure';

export interface ModelRecord {
  readonly kind: 'model';
  readonly version: 2;
  /** Levelled, at the size of the file. Model space: X to the wearer's left, Y to the back, Z up; lowest point at z = 0,
   *  the symmetry plane (or the middle) at x = 0, the middle of the depth at y = 0. */
  readonly mesh: MeshId;
  readonly fromFile: Transform;
  readonly triangles: number;
  readonly closed: boolean;
  readonly mended: MendedRecord;
  /** Solids that hang together on their own; more than one falls apart when it is lifted. */
  readonly bodies: number;
  readonly volumeMm3: number;
  readonly areaMm2: number;
  readonly sizeMm: Vec3;
  readonly genus: number;
  /** Thickness of the wall at each triangle of the mesh, mm; Infinity where it could not be measured. */
  readonly wallPerTriMm: Float32Array;
  /** The same in shares of the area. */
  readonly wallMm: {
    readonly p1: number;
    readonly p5: number;
    readonly p25: number;
    readonly p50: number;
    readonly p75: number;
    readonly p95: number;
    readonly p99: number;
  };
  readonly symmetry: {
    readonly plane: Plane;
    /** Distances of the mirrored surface to the surface. */
    readonly rmsMm: number;
    readonly p95Mm: number;
    readonly confidence: Confidence;
  } | null;
  /** `others`: directions of the file (unit) that could be up as well, the likeliest first. */
  readonly up: {
    /** Direction of the file, unit. */
    readonly way: Vec3;
    readonly confidence: Confidence;
    readonly because: string;
    readonly others: readonly Vec3[];
  };
  readonly front: { readonly way: Vec3; readonly confidence: Confidence; readonly because: string };
  readonly openings: readonly Opening[];
}
