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
  /** A place in the middle of its outside, worn, by which the maker asks things of it. */
  readonly mark: { readonly atMm: Vec3; readonly normal: Vec3 };
  /** Which of the machines asked for is its own, by its place in the build file; null when it prints on any. */
  readonly asked: number | null;
}

/** A stretch of a seam as it is seen: its line on the outside. */
export interface SeamLine {
  /** xyz interleaved, worn. */
  readonly points: Float32Array;
  /** One for each step from point to point, 0 to 1: what a millimetre counts there, see Seam.costMm. */
  readonly price: Float32Array;
  /** One for each step: what hides it there, as an index into SEAM_HIDING. */
  readonly hiding: Uint8Array;
}

/** What hides a millimetre of seam: nothing, a crease in which it lies, or that hardly anybody looks there. */
export const SEAM_HIDING = ['open', 'crease', 'unseen'] as const;
export type SeamHiding = (typeof SEAM_HIDING)[number];

/** Of the line on the outside, mm: what lies in a crease; and of the rest what is looked at most from the front, the sides, behind,
 *  above, and what is hardly seen from anywhere. They sum to outerMm. */
export interface SeamPlaces {
  readonly creaseMm: number;
  readonly frontMm: number;
  readonly sidesMm: number;
  readonly backMm: number;
  readonly aboveMm: number;
  readonly unseenMm: number;
}

/** What of a seam shows. */
export interface ShownSeam {
  readonly outerMm: number;
  /** What it costs: millimetres of seam in full view that would be as dear. */
  readonly costMm: number;
  readonly lines: readonly SeamLine[];
  readonly places: SeamPlaces;
}

/** One connected mating face between exactly two pieces. */
export interface Seam extends ShownSeam {
  readonly id: string;
  readonly pieces: readonly [string, string];
  /** Model space at worn size; the first piece lies below. */
  readonly plane: Plane;
  /** Which cut made it, in the order of cutting: seams of a later cut end on those of earlier ones, and are joined before them. */
  readonly cut: number;
  /** Which of the seams asked for it is part of, by its place in the build file; null when the search found it. */
  readonly asked: number | null;
  /** Planes of earlier cuts without which its plane would cut more than this seam, in the order of cutting: to hold it is to hold them. */
  readonly within: readonly Plane[];
  /** How far the mating face leaves its plane at most, mm; 0 for a flat one. */
  readonly bowMm: number;
  readonly innerMm: number;
  readonly areaMm2: number;
  /** Outlines of the face, model space, xyz interleaved, one entry a closed loop; for drawings. */
  readonly outlines: readonly Float32Array[];
}

export type ProposalName = 'fewest' | 'hidden' | 'quickest';

/** One of the divisions found, carried out; enough of it to draw and to compare. */
export interface Proposal {
  readonly name: ProposalName;
  /** The first of the three that is this very division, or null. */
  readonly sameAs: ProposalName | null;
  readonly pieces: number;
  /** Of all seams together. */
  readonly costMm: number;
  readonly outerMm: number;
  /** Estimates of the search: good for comparing, not for planning. */
  readonly supportG: number;
  readonly printS: number;
  readonly longestPrintS: number;
  readonly seams: readonly ShownSeam[];
}

export interface PiecesRecord {
  readonly kind: 'pieces';
  readonly version: 3;
  readonly pieces: readonly Piece[];
  readonly seams: readonly Seam[];
  /** Which of the proposals this is; null where no division was needed. */
  readonly proposal: ProposalName | null;
  /** fewest, hidden, quickest; empty where no division was needed. */
  readonly proposals: readonly Proposal[];
  /** Per triangle of the worn shell, 1 to 255: how much it is looked at; 0 on the inside. */
  readonly seen: Uint8Array;
  /** How the division was found, for the book. */
  readonly search: { readonly planesTried: number; readonly divisions: number; readonly cost: number };
}
