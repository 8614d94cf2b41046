// Lets the seams of a finished flat division leave their planes where that hides them better, and carries it out again.
import { done, type Outcome } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import type { Mesh } from '../../../mesh/mesh.ts';
import type { FittingPose } from '../../process/pieces-record.ts';
import { posesOf } from '../cut/carry-out.ts';
import type { CutPart, PathStep } from '../cut/exact-division.ts';
import { volumeOf, widthOf } from '../cut/piece-measures.ts';
import { CRUMB_SHARE } from '../search/cut-costs.ts';
import type { Bow } from './bow.ts';
import { holdBack, leastGaining, reachOfCuts } from './bow-reach.ts';
import { type BowOptions, carriedOutAgain, type FinishedDivision, type KnownCuts } from './bow-tree.ts';

export type { FinishedDivision } from './bow-tree.ts';

/** How often a division is carried out again with the bows that spoiled a piece held back; then it stays flat. */
const MOST_ROUNDS = 5;

/** The same division with every seam bowed by up to `mostBowMm` that is cheaper so, by a fair share; the flat one where none is, or
 *  where bowed pieces would not fit, not hold together or not come apart. Cuts keep their planes and order, pieces their paths. Images of
 *  one another on a mirrored shell are bowed as images; in its middle a seam may go to either side.
 *  Cost: each cut again, about three times as long as a flat one. docs/methods/bowed-seams.md. */
export function bowSeams(whole: MeshPart, flat: FinishedDivision, options: BowOptions): Outcome<FinishedDivision> {
  const { mostBowMm, demands } = options.settings;
  if (mostBowMm === 0 || flat.cuts.length === 0) return done(flat);
  const reach = reachOfCuts(flat.cuts, demands.seams, mostBowMm);
  let known: KnownCuts = new Map();
  const knownPoses = new Map<Mesh, readonly FittingPose[]>();
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const work = partOfWork(options.work, round / MOST_ROUNDS, (round + 1) / MOST_ROUNDS);
    const made = carriedOutAgain(whole, flat, { reach, known, round }, { ...options, work });
    if (!made.ok) return made;
    if (made.value === null || made.value.bows.size === 0) return done(flat);
    const { parts, bows } = made.value;
    known = made.value.known;
    const judged = posesAgain(flat, { parts, bows, knownPoses }, { ...options, work });
    if (judged.spoiled.length === 0) return done({ parts, cuts: flat.cuts, poses: judged.poses });
    for (const steps of judged.spoiled)
      holdBack(leastGaining(steps, made.value.gains), reach, flat.cuts, options.mirrorX);
  }
  return done(flat);
}

/** Poses of the parts again, and for each that was spoiled the bowed cuts it was made by: it fits no bed, became a crumb, or narrower than
 *  allowed. */
function posesAgain(
  flat: FinishedDivision,
  again: {
    readonly parts: readonly CutPart[];
    readonly bows: ReadonlyMap<number, Bow>;
    /** Of parts that were looked at before. */
    readonly knownPoses: Map<Mesh, readonly FittingPose[]>;
  },
  { settings, work }: BowOptions,
): { readonly poses: (readonly FittingPose[])[]; readonly spoiled: (readonly PathStep[])[] } {
  const { parts, bows, knownPoses } = again;
  const spoiled: (readonly PathStep[])[] = [];
  const volumes = parts.map(({ part }) => volumeOf(part.mesh));
  const least = (CRUMB_SHARE * volumes.reduce((sum, v) => sum + v, 0)) / volumes.length;
  const poses = parts.map((one, i) => {
    const bowed = one.path.filter(({ cut }) => bows.has(cut));
    if (bowed.length === 0) return flat.poses[i]!;
    const before = flat.parts[i]!.part.mesh;
    const { mesh } = one.part;
    const isCrumb = volumes[i]! < Math.min(least, KEPT_SHARE * volumeOf(before));
    const isNarrow = widthOf(mesh) < Math.min(settings.leastSectionMm, KEPT_SHARE * widthOf(before));
    const list = knownPoses.get(mesh) ?? (isCrumb || isNarrow ? [] : posesOf(one, flat.cuts, { settings, work }));
    knownPoses.set(mesh, list);
    if (list.length === 0) spoiled.push(bowed);
    return list;
  });
  return { poses, spoiled };
}

/** A piece that was small or narrow already may not lose more than the rest of this. */
const KEPT_SHARE = 0.9;
