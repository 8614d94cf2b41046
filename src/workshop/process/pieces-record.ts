// What the Pieces chapter hands on.

import type { Plane } from '../../geometry/plane.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import type { Transform } from '../../mesh/transform.ts';

/** A pose in which the piece fits one of the machines, with margin. */
export interface FittingPose {
  readonly machine: string;
  /** Model space (worn size) to laid space. */
  readonly toLaid: Transform;
  readonly sizeMm: Vec3;
  /** What lies on the bed. */
  readonly lies: 'mating face' | 'hull face' | 'level';
}

export interface Piece {
  /** Stable within one result: A, B, C ... from top to bottom, front first. */
  readonly id: string;
  /** In trade words: where it sits ("crown, left"). */
  readonly name: string;
  /** Model space at worn size, double precision; rounded for its file in laid pose, when it is written. */
  readonly mesh: MeshId;
  /** numTris of the piece: triangle of the worn shell it comes from, or -1 - s for the mating face of seam index s. */
  readonly sourceTri: Int32Array;
  readonly triangles: number;
  readonly closed: boolean;
  readonly volumeMm3: number;
  readonly areaMm2: number;
  readonly sizeMm: Vec3;
  /** Best first; at least one. */
  readonly poses: readonly FittingPose[];
}

/** One connected mating face between exactly two pieces. */
export interface Seam {
  readonly id: string;
  readonly pieces: readonly [string, string];
  /** Model space at worn size; the first piece lies below. */
  readonly plane: Plane;
  readonly outerMm: number;
  readonly innerMm: number;
  readonly areaMm2: number;
  /** Outlines of the face, model space, xyz interleaved, one entry a closed loop; for drawings. */
  readonly outlines: readonly Float32Array[];
}

export interface PiecesRecord {
  readonly kind: 'pieces';
  readonly version: 1;
  readonly pieces: readonly Piece[];
  readonly seams: readonly Seam[];
  /** How the division was found, for the book. */
  readonly search: { readonly planesTried: number; readonly divisions: number; readonly cost: number };
}
