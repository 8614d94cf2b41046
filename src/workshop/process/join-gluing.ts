// What gluing one join comes to: the drops of all its seams that lie open are laid before it closes, the others once it is closed.
import type { AssembledJoin, SeamGluing } from './assembly-record.ts';

export interface JoinGluing {
  /** Onto open faces, all before it closes. */
  readonly faceDrops: number;
  readonly faceLayS: number;
  /** Into the closed line, from inside. */
  readonly insideDrops: number;
  /** One of all open faces together, then those from inside, seam by seam. */
  readonly runs: number;
  /** All runs. */
  readonly pressS: number;
  readonly tapes: number;
}

/** Of the seams that the join closes. */
export function joinGluing({ seams: closes }: Pick<AssembledJoin, 'seams'>, seams: readonly SeamGluing[]): JoinGluing {
  const closed = seams.filter(({ seam }) => closes.includes(seam));
  const sum = (of: (seam: SeamGluing) => number): number => closed.reduce((total, seam) => total + of(seam), 0);
  const facing = closed.filter(({ faceDrops }) => faceDrops > 0);
  const faceDrops = sum((seam) => seam.faceDrops);
  const pressedOnce = facing.reduce((most, { holdS, runs }) => Math.max(most, holdS / runs), 0);
  return {
    faceDrops,
    faceLayS: facing.reduce((total, seam) => total + (seam.layS * seam.faceDrops) / seam.drops, 0),
    insideDrops: sum(({ drops }) => drops) - faceDrops,
    runs: sum(insideRuns) + (facing.length > 0 ? 1 : 0),
    pressS: sum((seam) => (seam.runs === 0 ? 0 : (seam.holdS / seam.runs) * insideRuns(seam))) + pressedOnce,
    tapes: sum(({ tapes }) => tapes),
  };
}

function insideRuns({ runs, faceDrops }: SeamGluing): number {
  return faceDrops > 0 ? runs - 1 : runs;
}
