// What the Model chapter hands on.

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
}

export type Confidence = 'given' | 'sure' | 'likely' | 'unsure';

export interface ModelRecord {
  readonly kind: 'model';
  readonly version: 1;
  /** Levelled, at the size of the file. Model space: X to the wearer's left, Y to the back, Z up; lowest point at z = 0,
   *  the symmetry plane (or the middle) at x = 0, the middle of the depth at y = 0. */
  readonly mesh: MeshId;
  readonly fromFile: Transform;
  readonly triangles: number;
  readonly closed: boolean;
  readonly volumeMm3: number;
  readonly areaMm2: number;
  readonly sizeMm: Vec3;
  readonly genus: number;
  /** Distance through the wall along the inward normal, weighted by area. */
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
  readonly up: { readonly confidence: Confidence; readonly because: string };
  readonly front: { readonly confidence: Confidence; readonly because: string };
  readonly openings: readonly Opening[];
}
