// A mating face as keys see it: its outline in its plane, which stretches of that are outside, inside or neither, and how thick it is.
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { Seam } from '../../process/pieces-record.ts';

/** Of a stretch of outline: on the outside of the shell, on its inside, or where the face ends on another seam. */
export const SIDE_OUTER = 0;
export const SIDE_INNER = 1;
export const SIDE_SEAM = 2;

/** A closed outline of the face, in the frame of its plane. */
export interface SectionLoop {
  /** num x 3, model space: on a bowed face the points leave the plane. */
  readonly points: Float64Array;
  /** num x 2, mm: along u and v of the section's frame; the face lies to the left of each side. */
  readonly flat: Float64Array;
  /** Per side (from point to next): SIDE_OUTER, SIDE_INNER or SIDE_SEAM. */
  readonly sides: Uint8Array;
}

export interface SeamSection {
  readonly seam: Seam;
  /** Frame of the plane; n points from the first piece of the seam (below) to the second (above). */
  readonly origin: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  readonly n: Vec3;
  readonly loops: readonly SectionLoop[];
  /** Middle thickness across the face between inner and outer sides, mm; where there is no inner side, the diameter of the largest circle in it. */
  readonly wallMm: number;
}
