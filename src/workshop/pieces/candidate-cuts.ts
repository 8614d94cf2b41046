// All cuts of one part that are worth trying: every direction swept once, the cheapest offsets of each kept.
import { type BoxNeed, boxNeed, layingFrames } from '../../geometry/laying-frames.ts';
import type { Plane } from '../../geometry/plane.ts';
import { type PlaneSweep, sweepPlanes, sweptPart } from '../../geometry/plane-sweep.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import {
  type DivisionTask,
  dot,
  downsOf,
  MIRRORED_CUTS,
  OUTERMOST_SAMPLES,
  type ProxyPart,
  reachPoints,
  type SplitPart,
  splitPart,
} from './proxy-part.ts';

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
/** Least share of the mean piece that a piece may have; less is a crumb. */
export const CRUMB_SHARE = 0.01;

export interface CutSearch {
  readonly cuts: readonly Cut[];
  readonly planesTried: number;
}

/** The most promising cuts, cheapest expected cost first. Cuts that leave crumbs are left out.
 *  All directions are swept on a quarter of the points, the best of them on all, and the best offers are split on the samples.
 *  Cost: directions x points x directions of extents; docs/methods/division-search.md has the seconds. */
export function candidateCuts(task: DivisionTask, part: ProxyPart, all: readonly Vec3[], tick: () => void): CutSearch {
  const points = reachPoints(task, part.samples, part.rim, OUTERMOST_SAMPLES);
  const directions = directionsFor(task, part, all);
  const rough = sweepAll(task, part, directions, { points: everyFourth(points), tick });
  const ranked = directions.map((_, i) => i).sort((i, j) => rough.best[i]! - rough.best[j]! || i - j);
  const best = ranked.slice(0, FINE_DIRECTIONS).map((i) => directions[i]!);
  const fine = sweepAll(task, part, best, { points, tick });
  fine.offers.sort((a, b) => a.expectedMm - b.expectedMm);
  const cuts: Cut[] = [];
  for (const offer of spreadOut(task, fine.offers)) {
    tick();
    const cut = offer.small === null ? tryNear(task, part, offer) : tryPair(task, part, offer, offer.small);
    if (cut !== null) cuts.push(cut);
  }
  cuts.sort((a, b) => a.expectedMm - b.expectedMm);
  return { cuts, planesTried: rough.planes };
}

const FINE_DIRECTIONS = 36;

/** Whether the part has to stay its own mirror image. */
function mustMirror(task: DivisionTask, part: ProxyPart): boolean {
  return task.tries === MIRRORED_CUTS && isSelfMirrored(task, part);
}

/** Of directions that are mirror images of each other a part that has to stay mirrored needs one. */
function directionsFor(task: DivisionTask, part: ProxyPart, all: readonly Vec3[]): readonly Vec3[] {
  return mustMirror(task, part) ? all.filter((normal) => normal[0] > -1e-9) : all;
}

function everyFourth(points: Float64Array): Float64Array {
  const out = new Float64Array(Math.ceil(points.length / 12) * 3);
  for (let i = 0, at = 0; i < points.length; i += 12, at += 3) {
    for (let c = 0; c < 3; c++) out[at + c] = points[i + c]!;
  }
  return out;
}

interface Swept {
  readonly offers: Offer[];
  /** Per direction, the least expected cost. */
  readonly best: Float64Array;
  readonly planes: number;
}

function sweepAll(
  task: DivisionTask,
  part: ProxyPart,
  directions: readonly Vec3[],
  by: { readonly points: Float64Array; readonly tick: () => void },
): Swept {
  const downs = downsOf(part.faces);
  const swept = sweptPart(part.samples, by.points, layingFrames(downs).directions);
  const stepMm = Math.max(part.need.longestMm / 160, Math.min(3, task.samples.spacingMm / 2));
  const offers: Offer[] = [];
  const best = new Float64Array(directions.length).fill(Infinity);
  let planes = 0;
  directions.forEach((normal, i) => {
    by.tick();
    const isDown = downs.some((down) => Math.abs(dot(down, normal)) > 0.9999);
    const own = isDown ? new Float64Array(0) : layingFrames([normal]).directions;
    const sweep = sweepPlanes(task.samples, swept, task.weight, {
      normal,
      options: { stepMm, grazingMm: task.leastSectionMm, own },
    });
    planes += sweep.num;
    const here = bestOffers(task, part, { sweep, numDowns: downs.length + (isDown ? 0 : 1) });
    for (const offer of here) best[i] = Math.min(best[i]!, offer.expectedMm);
    offers.push(...here);
  });
  return { offers, best, planes };
}

interface Offer {
  readonly plane: Plane;
  readonly costMm: number;
  readonly expectedMm: number;
  readonly below: BoxNeed;
  readonly above: BoxNeed;
  /** The side that a cut and its mirror image both cut off, of a cut that comes in a pair. */
  readonly small: 0 | 1 | null;
}

const OFFERS_A_DIRECTION = 3;

function bestOffers(
  task: DivisionTask,
  part: ProxyPart,
  of: { readonly sweep: PlaneSweep; readonly numDowns: number },
): Offer[] {
  const { sweep, numDowns } = of;
  const offers: Offer[] = [];
  const middle = middlePlane(task, part, sweep);
  const across =
    mustMirror(task, part) && !isMirrorDirection(sweep.normal) ? reachInMiddle(task, part, sweep.normal) : null;
  for (let k = 0; k < sweep.num; k++) {
    const below = boxNeed(sweep.extents[0], numDowns, task.boxes, emptyNeed(), k * sweep.numExtents);
    const above = boxNeed(sweep.extents[1], numDowns, task.boxes, emptyNeed(), k * sweep.numExtents);
    const offsetMm = k === middle ? middleOffset(task, sweep) : sweep.firstMm + k * sweep.stepMm;
    const plane = { normal: sweep.normal, offsetMm };
    if (across !== null && k !== middle) {
      if (offsetMm < across.lowMm || offsetMm > across.highMm) {
        const small = offsetMm < across.lowMm ? 0 : 1;
        offers.push(pairOffer(task, part, { sweep, k, plane, small, needs: [below, above] }));
      }
      continue;
    }
    const costMm = cutCost(task, part, { sweep, k, plane });
    const expectedMm =
      costMm +
      sideCost(task, below, sweep.weighedMm2[k * 2]!) +
      sideCost(task, above, sweep.weighedMm2[k * 2 + 1]!) +
      chipCost(task, sweep.areaMm2[k * 2]! / part.areaMm2, below.pieces, above.pieces);
    offers.push({ plane, costMm, expectedMm, below, above, small: null });
  }
  const inMiddle =
    middle >= 0 ? offers.find((offer) => isMirrorPlane(task, offer.plane) && offer.small === null) : undefined;
  const kept: Offer[] = inMiddle === undefined ? [] : [inMiddle];
  offers.sort((a, b) => a.expectedMm - b.expectedMm);
  for (const offer of offers) {
    if (kept.length >= OFFERS_A_DIRECTION) break;
    if (kept.every((known) => Math.abs(known.plane.offsetMm - offer.plane.offsetMm) > task.apartMm / 2))
      kept.push(offer);
  }
  return kept;
}

function isMirrorDirection(normal: Vec3): boolean {
  return Math.abs(normal[0]) < 1e-9;
}

/** How far the part reaches along a direction where it crosses the plane of symmetry: planes beyond do not cross it there. */
function reachInMiddle(task: DivisionTask, part: ProxyPart, normal: Vec3): { lowMm: number; highMm: number } {
  const { points, spacingMm } = task.samples;
  let lowMm = Infinity;
  let highMm = -Infinity;
  for (const s of part.samples) {
    if (Math.abs(points[s * 3]! - task.mirrorX!) > spacingMm) continue;
    const d = points[s * 3]! * normal[0] + points[s * 3 + 1]! * normal[1] + points[s * 3 + 2]! * normal[2];
    lowMm = Math.min(lowMm, d);
    highMm = Math.max(highMm, d);
  }
  return { lowMm, highMm };
}

/** A cut and its mirror image: two small sides alike, and what is left in the middle, which the second cut makes smaller still. */
function pairOffer(
  task: DivisionTask,
  part: ProxyPart,
  at: {
    readonly sweep: PlaneSweep;
    readonly k: number;
    readonly plane: Plane;
    readonly small: 0 | 1;
    readonly needs: readonly [BoxNeed, BoxNeed];
  },
): Offer {
  const { sweep, k, plane, small } = at;
  const costMm = seamCost(task, { seamMm: sweep.seamMm[k]!, grazingMm2: sweep.grazingMm2[k]! });
  const large = small === 0 ? 1 : 0;
  const weighed = [sweep.weighedMm2[k * 2]!, sweep.weighedMm2[k * 2 + 1]!] as const;
  const left = { ...at.needs[large], pieces: Math.max(1, at.needs[large].pieces - 1) };
  const share = sweep.areaMm2[k * 2 + small]! / part.areaMm2;
  const pieces = left.pieces + 2 * at.needs[small].pieces;
  const expectedMm =
    2 * costMm +
    2 * sideCost(task, at.needs[small], weighed[small]) +
    sideCost(task, left, Math.max(0, weighed[large] - weighed[small])) +
    2 * chipOf(task, (share / at.needs[small].pieces) * pieces);
  return { plane, costMm, expectedMm, below: at.needs[0], above: at.needs[1], small };
}

function emptyNeed(): BoxNeed {
  return { pieces: 0, longestMm: 0, slackMm: 0 };
}

/** The plane of a sweep along x that stands in the symmetry plane, or -1. */
function middlePlane(task: DivisionTask, part: ProxyPart, sweep: PlaneSweep): number {
  if (task.mirrorX === null || Math.abs(sweep.normal[0]) < 0.9999 || !isSelfMirrored(task, part)) return -1;
  return Math.round((middleOffset(task, sweep) - sweep.firstMm) / sweep.stepMm);
}

function middleOffset(task: DivisionTask, sweep: PlaneSweep): number {
  return (task.mirrorX ?? 0) * sweep.normal[0];
}

/** Whether the part lies evenly on both sides of the symmetry plane (judged by its middle). */
export function isSelfMirrored(task: DivisionTask, part: ProxyPart): boolean {
  return task.mirrorX !== null && Math.abs(part.centreMm[0] - task.mirrorX) < task.samples.spacingMm * 0.75;
}

export function isMirrorPlane(task: DivisionTask, plane: Plane): boolean {
  if (task.mirrorX === null) return false;
  if (Math.abs(plane.normal[0]) < 1e-9) return true;
  return Math.abs(plane.normal[0]) > 0.9999 && Math.abs(plane.offsetMm - task.mirrorX * plane.normal[0]) < 1e-6;
}

function cutCost(
  task: DivisionTask,
  part: ProxyPart,
  at: { readonly sweep: PlaneSweep; readonly k: number; readonly plane: Plane },
): number {
  const { sweep, k, plane } = at;
  const lopsided = isLopsided(task, part, plane) ? task.weights.lopsided : 0;
  return seamCost(task, { seamMm: sweep.seamMm[k]!, grazingMm2: sweep.grazingMm2[k]! }) + lopsided;
}

/** Whether the plane crosses a part that is its own mirror image other than evenly. */
export function isLopsided(task: DivisionTask, part: ProxyPart, plane: Plane): boolean {
  return isSelfMirrored(task, part) && !isMirrorPlane(task, plane);
}

export function seamCost(task: DivisionTask, of: { readonly seamMm: number; readonly grazingMm2: number }): number {
  const { weights } = task;
  return of.seamMm * weights.seam + (of.grazingMm2 / task.leastSectionMm) * weights.feather;
}

/** What a part is expected to cost still: its pieces, and for each further cut about pi/4 of its weighted area over its length
 *  (the mean section of a body by the coarea formula). */
export function sideCost(task: DivisionTask, need: BoxNeed, weighedMm2: number): number {
  const { weights } = task;
  const cutMm = ((Math.PI / 4) * weighedMm2) / Math.max(1, need.longestMm);
  return weights.piece * need.pieces + weights.seam * (need.pieces - 1) * cutMm;
}

/** Grows as the smaller side falls under a third of the mean piece. */
function chipCost(task: DivisionTask, share: number, piecesBelow: number, piecesAbove: number): number {
  const mean = 1 / (piecesBelow + piecesAbove);
  return chipOf(task, share / piecesBelow / mean) + chipOf(task, (1 - share) / piecesAbove / mean);
}

/** ofMean: area of a piece over the mean piece's. */
export function chipOf(task: DivisionTask, ofMean: number): number {
  return task.weights.chip * Math.max(0, 1 - ofMean / 0.35);
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

/** Diversity rule: alike when the offsets differ by less than a tenth of the bed's diagonal and the normals by less than
 *  18 degrees (0.1 pi), both times `strictness`. */
export function areAlike(task: DivisionTask, a: Plane, b: Plane, strictness = 1): boolean {
  const cos = dot(a.normal, b.normal);
  if (Math.abs(cos) < Math.cos(0.1 * Math.PI * strictness)) return false;
  return Math.abs(a.offsetMm - Math.sign(cos) * b.offsetMm) < task.apartMm * strictness;
}

/** The cut of an offer; when a side that was thought to fit does not, the plane is tried a little nearer to that side too. */
function tryNear(task: DivisionTask, part: ProxyPart, offer: Offer): Cut | null {
  const cut = tryCut(task, part, offer, 0);
  if (cut === null) return null;
  const isWorse = (side: readonly ProxyPart[], need: BoxNeed) =>
    need.pieces === 1 && side.length === 1 && side[0]!.need.pieces > 1;
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

export function mirroredPlane(plane: Plane, mirrorX: number): Plane {
  const [x, y, z] = plane.normal;
  return { normal: [-x, y, z], offsetMm: plane.offsetMm - 2 * x * mirrorX };
}
