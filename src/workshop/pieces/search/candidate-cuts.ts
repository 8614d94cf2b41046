// All cuts of one part that are worth trying: planes offered by the sweeps, split on the samples.
import type { Plane } from '../../../geometry/plane.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { seamLine } from '../price/seam-gauge.ts';
import {
  areAlike,
  CRUMB_SHARE,
  chipOf,
  isLopsided,
  isMirrorPlane,
  mirroredPlane,
  seamCost,
  sideCost,
} from './cut-costs.ts';
import { CLOSELY, mustMirror, type Offer, offersAt, planeOffers, ROUGHLY } from './plane-offers.ts';
import { type DivisionTask, type ProxyPart, type SplitPart, splitPart } from './proxy-part.ts';

/** A cut of one part, split on the samples. */
export interface Cut {
  readonly plane: Plane;
  /** What the cut itself costs: seam, feather edges, broken symmetry; mm of visible seam. */
  readonly costMm: number;
  /** The same and what its two sides are expected to cost still. */
  readonly expectedMm: number;
  readonly sides: SplitPart;
  /** The mirror image of this cut, made in what the first leaves of the same part; null for a cut that stands alone. */
  readonly pair: PartCut | null;
}

/** One part cut by one plane; the plane ends where the part ends. */
export interface PartCut {
  readonly part: ProxyPart;
  readonly cut: Cut;
}

/** Offers that are split on the samples. */
export const SHORTLIST = 24;

/** A cut that is thought worth making. */
export interface CutOffer {
  /** What the sweep thinks of it: the cut itself and what its sides are expected to cost still. */
  readonly expectedMm: number;
  /** The cut, split on the samples when first asked for; null when it leaves nothing on a side, or crumbs. */
  readonly cut: () => Cut | null;
}

export interface CutSearch {
  readonly offers: readonly CutOffer[];
  readonly planesTried: number;
}

/** The most promising cuts, cheapest expected cost first. All directions are swept roughly, the best of them closely; planes along the
 *  shell's own folds are looked at besides, each by its exact line. */
export function candidateCuts(
  task: DivisionTask,
  part: ProxyPart,
  normals: readonly Vec3[],
  tick: () => void,
): CutSearch {
  const directions = directionsFor(task, part, normals);
  const rough = planeOffers(task, part, directions, { closeness: ROUGHLY, tick });
  const ranked = directions.map((_, i) => i).sort((i, j) => rough.best[i]! - rough.best[j]! || i - j);
  const best = ranked.slice(0, FINE_DIRECTIONS).map((i) => directions[i]!);
  const fine = planeOffers(task, part, best, { closeness: CLOSELY, tick });
  const sorted = [...fine.offers].sort((a, b) => a.expectedMm - b.expectedMm);
  const make = (offer: Offer) =>
    offer.small === null ? tryNear(task, part, offer) : tryPair(task, part, offer, offer.small);
  const offers = [...spreadOut(task, sorted), ...foldOffers(task, part, tick)].map((offer): CutOffer => {
    let made: Cut | null | undefined;
    const cut = () => {
      if (made === undefined) made = make(offer);
      return made;
    };
    return { expectedMm: offer.expectedMm, cut };
  });
  offers.sort((a, b) => a.expectedMm - b.expectedMm);
  return { offers, planesTried: rough.planes + fine.planes + task.folds.length };
}

/** Folds whose line is measured, and of which so many are offered. */
const MEASURED_FOLDS = 8;
const MOST_FOLDS = 6;
/** A line along a fold may cost this share of what its samples say: they are too wide to see the fold. */
const FOLD_SHARE = 0.4;

/** Cuts along the shell's own folds, cheapest first: how their sides stand is told by the samples, their line by the shell itself. */
function foldOffers(task: DivisionTask, part: ProxyPart, tick: () => void): Offer[] {
  const planes = mustMirror(task, part) ? task.folds.filter((plane) => isMirrorPlane(task, plane)) : task.folds;
  const thought = offersAt(task, part, planes, { closeness: ROUGHLY, tick });
  const hoped = (offer: Offer) => offer.expectedMm - (1 - FOLD_SHARE) * offer.costMm;
  return thought
    .sort((a, b) => hoped(a) - hoped(b))
    .slice(0, MEASURED_FOLDS)
    .map((offer): Offer => {
      const seamMm = seamLine(task.shell, part, offer.plane).costMm;
      const lopsidedMm = isLopsided(task, part, offer.plane) ? task.weights.lopsided : 0;
      const costMm = seamCost(task, { seamMm, grazingMm2: 0 }) + lopsidedMm;
      return { ...offer, costMm, expectedMm: offer.expectedMm - offer.costMm + costMm };
    })
    .sort((a, b) => a.expectedMm - b.expectedMm)
    .slice(0, MOST_FOLDS);
}

const FINE_DIRECTIONS = 14;

/** Parts thought to take no more beds have one cut left to find: every second direction is swept, those that come first. */
const LAST_CUT = 2.5;

/** Of directions that are mirror images of each other a part that has to stay mirrored needs one. */
function directionsFor(task: DivisionTask, part: ProxyPart, all: readonly Vec3[]): readonly Vec3[] {
  if (mustMirror(task, part)) return all.filter((normal) => normal[0] > -1e-9);
  return part.need.pieces > LAST_CUT ? all : all.slice(0, Math.ceil(all.length / 2));
}

/** Keeps the cheapest offers that differ: two planes are alike within the diversity rule (offset and angle). */
function spreadOut(task: DivisionTask, offers: readonly Offer[]): Offer[] {
  const kept: Offer[] = [];
  for (const offer of offers) {
    if (kept.length >= SHORTLIST) break;
    const isKnown = (known: Offer) =>
      (known.small === null) === (offer.small === null) && areAlike(task, known.plane, offer.plane, 0.35);
    if (!kept.some(isKnown)) kept.push(offer);
  }
  return kept;
}

/** The cut of an offer; when a side that was thought to fit does not, the plane is tried a little nearer to that side too. */
function tryNear(task: DivisionTask, part: ProxyPart, offer: Offer): Cut | null {
  const cut = tryCut(task, part, offer, 0);
  if (cut === null) return null;
  const isWorse = (side: readonly ProxyPart[], thought: number) =>
    thought === 1 && side.length === 1 && side[0]!.need.pieces > 1;
  const towards = isWorse(cut.sides.below, offer.below) ? -1 : isWorse(cut.sides.above, offer.above) ? 1 : 0;
  if (towards === 0) return cut;
  let best = cut;
  for (const share of [0.3, 0.7]) {
    const moved = tryCut(task, part, offer, towards * share * task.samples.spacingMm);
    if (moved !== null && moved.expectedMm < best.expectedMm) best = moved;
  }
  return best;
}

function tryCut(task: DivisionTask, part: ProxyPart, offer: Offer, byMm: number): Cut | null {
  const plane = { normal: offer.plane.normal, offsetMm: offer.plane.offsetMm + byMm };
  if (byMm !== 0 && isMirrorPlane(task, offer.plane) && !isMirrorPlane(task, plane)) return null;
  const sides = splitPart(task, part, plane);
  const parts = [...sides.below, ...sides.above];
  if (sides.below.length === 0 || sides.above.length === 0) return null;
  const pieces = parts.reduce((sum, p) => sum + p.need.pieces, 0);
  const mean = part.areaMm2 / pieces;
  if (parts.some((p) => p.areaMm2 < 2 * CRUMB_SHARE * mean)) return null;
  let expectedMm = offer.costMm;
  for (const p of parts) {
    expectedMm += sideCost(task, p.need, p.weighedMm2) + chipOf(task, p.areaMm2 / p.need.pieces / mean);
  }
  return { plane, costMm: offer.costMm, expectedMm, sides, pair: null };
}

/** Both cuts of a pair; null when the first crosses the middle after all, or crumbs are left. */
function tryPair(task: DivisionTask, part: ProxyPart, offer: Offer, small: 0 | 1): Cut | null {
  const first = splitPart(task, part, offer.plane);
  const [cutOff, rest] = small === 0 ? [first.below, first.above] : [first.above, first.below];
  if (rest.length !== 1 || cutOff.length === 0 || !isAside(task, cutOff)) return null;
  const plane = mirroredPlane(offer.plane, task.mirrorX!);
  const second = splitPart(task, rest[0]!, plane);
  const cutOffToo = small === 0 ? second.below : second.above;
  if (cutOffToo.length !== cutOff.length || second.below.length === 0 || second.above.length === 0) return null;
  const parts = [...cutOff, ...second.below, ...second.above];
  const pieces = parts.reduce((sum, p) => sum + p.need.pieces, 0);
  const mean = part.areaMm2 / pieces;
  if (parts.some((p) => p.areaMm2 < 2 * CRUMB_SHARE * mean)) return null;
  const { costMm } = offer;
  let expectedMm = 2 * costMm;
  for (const p of parts) {
    expectedMm += sideCost(task, p.need, p.weighedMm2) + chipOf(task, p.areaMm2 / p.need.pieces / mean);
  }
  const pair = { part: rest[0]!, cut: { plane, costMm, expectedMm: 0, sides: second, pair: null } };
  return { plane: offer.plane, costMm, expectedMm, sides: first, pair };
}

/** Whether all lie on one side of the plane of symmetry. */
function isAside(task: DivisionTask, parts: readonly ProxyPart[]): boolean {
  let left = 0;
  let right = 0;
  for (const part of parts) {
    for (const s of part.samples) {
      if (task.samples.points[s * 3]! > task.mirrorX!) left++;
      else right++;
    }
  }
  return left === 0 || right === 0;
}
