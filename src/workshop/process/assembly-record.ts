// What the Assembly chapter hands on.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Join } from './joints-record.ts';
import type { Step } from './step.ts';

/** Two pieces that cannot pass each other on the way of a join. */
export interface PathMeeting {
  readonly moving: string;
  readonly fixed: string;
  /** What one would have to give way, mm. */
  readonly depthMm: number;
  /** Worn, on the fixed piece. */
  readonly atMm: Vec3;
  /** How far before the joint is closed they first meet. */
  readonly beforeMm: number;
}

/** From so much of its inner edge on a seam counts as in reach. */
export const IN_REACH = 0.9;

/** How much of the inner edge of a seam a hand can still get at. */
export interface SeamReach {
  readonly seam: string;
  /** 0 to 1. */
  readonly share: number;
}

export interface AssembledJoin extends Join {
  /** Empty when the way is free. */
  readonly meets: readonly PathMeeting[];
  /** Of every seam closed by then within the group that this join makes, once it is made. */
  readonly reach: readonly SeamReach[];
}

/** The bead along the inner edge. Joins by their place in the order. */
export interface SeamBead {
  /** Of the inner edge, less the keys that lie over it and what no hand reaches. */
  readonly lengthMm: number;
  readonly volumeMm3: number;
  readonly grams: number;
  readonly layS: number;
  /** How much of the inner edge is in reach then, 0 to 1. */
  readonly share: number;
  /** The last join after which the edge is in reach. */
  readonly afterJoin: number;
  /** The join that would shut it off; null when it stays in reach. */
  readonly beforeJoin: number | null;
}

export interface SeamGluing {
  readonly seam: string;
  readonly stays: 'glued' | 'removable';
  /** Its line on the outside; of one that does not show, its inner edge. */
  readonly lengthMm: number;
  /** Misfit at the outer edge to expect in the dry fit, as drawn and as printed; null without keys. */
  readonly stepMm: { readonly nominal: number; readonly printed: number } | null;
  readonly sandS: number;
  readonly drops: number;
  readonly dropsG: number;
  /** Of these, onto the open face before it is closed, where no hand reaches the line afterwards; the others from inside, once it is. */
  readonly faceDrops: number;
  /** All that lie on the open face are one, then those from inside. */
  readonly runs: number;
  /** Of a run from inside; where there is none, on the face. */
  readonly dropsARun: number;
  readonly runMm: number;
  readonly layS: number;
  /** All runs together, as if the seam were closed alone; of a join see joinGluing. */
  readonly holdS: number;
  /** Strips of tape across the outside; none where nothing is glued. */
  readonly tapes: number;
  /** Where they go on its line, worn, mm, evenly from end to end; empty for a seam that does not show. */
  readonly tapeAt: readonly Vec3[];
  /** Where a hot tool welds across the inner edge, worn, mm; empty unless chosen. */
  readonly tacks: readonly Vec3[];
  readonly bead: SeamBead | null;
}

export interface AssemblyRecord {
  readonly kind: 'assembly';
  readonly version: 1;
  /** In the order in which their ways are free: that of the joints, or another where one group would bar another. */
  readonly joins: readonly AssembledJoin[];
  /** One a seam, in their order. */
  readonly seams: readonly SeamGluing[];
  readonly steps: readonly Step[];
  readonly totals: {
    readonly drops: number;
    readonly dropsG: number;
    readonly beadMm: number;
    readonly beadG: number;
    readonly handsOnS: number;
    /** From the last glue to a cured helm. */
    readonly cureS: number;
  };
}
