// The search for a division: a beam of binary plane trees, all judged on samples of the surface.
import { invariant } from '../../../base/invariant.ts';
import type { Work } from '../../../base/work.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { hoursWithRisk, roughPrintS } from '../../process/rough-print.ts';
import { type Cut, type CutOffer, candidateCuts, type PartCut } from './candidate-cuts.ts';
import { areAlike, areTwins, chipOf, isMirrorPlane, isSelfMirrored, mirroredPlane, sideCost } from './cut-costs.ts';
import { type DivisionTask, MIRRORED_CUTS, type ProxyPart, splitPart, wholePart } from './proxy-part.ts';
import { supportOf } from './sample-support.ts';

/** A division: the cuts in the order they are made, and what is left. */
export interface Division {
  readonly whole: ProxyPart;
  readonly cuts: readonly PartCut[];
  readonly leaves: readonly ProxyPart[];
  /** Cost of what is decided and estimate of what is not, mm of visible seam. */
  readonly expectedMm: number;
  readonly isComplete: boolean;
}

export interface DivisionSearch {
  /** Complete divisions, cheapest first; empty when none was found within `mostPieces`. */
  readonly complete: readonly Division[];
  readonly planesTried: number;
  readonly divisions: number;
  /** Pieces of the most advanced division that was given up, for the refusal. */
  readonly mostSeen: number;
}

/** Beam search: at each step every kept division has its largest unfit part cut in all promising ways, and the cheapest clearly
 *  different results are kept. On a mirrored model a part's twin is cut by the mirrored plane in the same step.
 *  start: cuts that are made already; the search goes on from there.
 *  Method: beam search over binary plane trees (2012), with estimated cost to go; docs/methods/division-search.md. */
export function searchDivisions(
  task: DivisionTask,
  directions: readonly Vec3[],
  work: Work,
  start: Division = wholeDivision(task),
): DivisionSearch {
  const tally: Tally = { planesTried: 0, divisions: 0, mostSeen: 0, offersOf: new Map() };
  let beam: Division[] = [start];
  const complete: Division[] = [];
  for (let depth = 0; beam.length > 0 && depth < task.mostPieces + 8; depth++) {
    const steps: NextStep[] = [];
    const tick = () => work.tick(1 - 1 / (depth + 1), 'searching for seams');
    for (const division of beam) {
      if (division.isComplete) complete.push(division);
      else steps.push(...nextSteps(task, division, { directions, tick, tally }));
    }
    tally.divisions += steps.length;
    complete.sort(byCost);
    const limit = complete.length > 0 ? complete[0]!.expectedMm : Infinity;
    const fewest = complete.reduce((least, d) => Math.min(least, d.leaves.length), Infinity);
    const most = Math.min(task.mostPieces, fewest + 1);
    const drafts = cheapestDrafts(task, steps, { limit, most, tick, tally });
    const weighed = drafts.map((draft) => weighedDivision(task, draft));
    beam = keepDifferent(
      task,
      weighed.filter((d) => d.expectedMm < limit),
    );
  }
  return {
    complete,
    planesTried: tally.planesTried,
    divisions: tally.divisions,
    mostSeen: tally.mostSeen,
  };
}

/** The division that has no cut yet: where a search starts that is not given another. */
export function wholeDivision(task: DivisionTask): Division {
  const whole = wholePart(task);
  return divisionOf(task, whole, [], [whole]);
}

/** The division with one more cut, of the one of its parts given. */
export function withCut(task: DivisionTask, division: Division, cut: PartCut): Division {
  return weighedDivision(task, withCuts(task, division, [cut]));
}

/** A division whose support is not weighed yet: that takes as long as all else, and most divisions are dropped before. */
interface Draft extends Omit<Division, 'expectedMm'> {
  /** Its cost without support. */
  readonly leastMm: number;
}

/** A way to go on from a division: thought of by a sweep, and not split yet. */
interface NextStep {
  readonly division: Division;
  readonly part: ProxyPart;
  readonly twin: ProxyPart | null;
  readonly offer: CutOffer;
  /** What the division would cost, without support. */
  readonly thoughtMm: number;
}

/** Steps carried out and weighed at most for each place in the beam. */
const WEIGHED_A_PLACE = 6;

/** The steps that are thought cheapest, split on the samples: that takes as long as hundreds of planes, and most steps are dropped
 *  before. At most so many of them start with the same cut. */
function cheapestDrafts(
  task: DivisionTask,
  steps: readonly NextStep[],
  by: { readonly limit: number; readonly most: number; readonly tick: () => void; readonly tally: Tally },
): Draft[] {
  const sorted = [...steps].sort((a, b) => a.thoughtMm - b.thoughtMm);
  const wanted = WEIGHED_A_PLACE * task.beamWidth;
  const out: Draft[] = [];
  const perStart = new Map<Cut, number>();
  for (const step of sorted) {
    if (out.length >= wanted || step.thoughtMm > by.limit) break;
    const start = step.division.cuts[0]?.cut;
    const siblings = start === undefined ? 0 : (perStart.get(start) ?? 0);
    if (siblings >= 0.7 * wanted) continue;
    by.tick();
    const draft = draftOfStep(task, step);
    if (draft === null) continue;
    by.tally.mostSeen = Math.max(by.tally.mostSeen, draft.leaves.length);
    if (draft.leastMm >= by.limit || draft.leaves.length + (draft.isComplete ? 0 : 1) > by.most) continue;
    if (start !== undefined) perStart.set(start, siblings + 1);
    out.push(draft);
  }
  return out;
}

function draftOfStep(task: DivisionTask, { division, part, twin, offer }: NextStep): Draft | null {
  const cut = offer.cut();
  if (cut === null) return null;
  const made =
    twin === null
      ? [{ part, cut }, ...(cut.pair === null ? [] : [cut.pair])]
      : [
          { part, cut },
          { part: twin, cut: mirroredCut(task, twin, cut) },
        ];
  if (made.some((one) => one.cut.sides.below.length === 0 || one.cut.sides.above.length === 0)) return null;
  return withCuts(task, division, made);
}

function keepWhere<T>(sorted: readonly T[], most: number, isWanted: (kept: readonly T[], one: T) => boolean): T[] {
  const kept: T[] = [];
  for (const one of sorted) {
    if (kept.length >= most) break;
    if (isWanted(kept, one)) kept.push(one);
  }
  return kept;
}

function weighedDivision(task: DivisionTask, { leastMm, ...draft }: Draft): Division {
  return { ...draft, expectedMm: leastMm + draft.leaves.reduce((sum, leaf) => sum + printCost(task, leaf), 0) };
}

/** Support to take off and hours of the machine, of a part still to be cut those of the pieces it is thought to become. */
export function printCost(task: DivisionTask, leaf: ProxyPart): number {
  const supportG = supportOf(task, leaf);
  const pieces = leaf.need.pieces;
  const eachS = roughPrintS({ areaMm2: leaf.areaMm2 / pieces, thickMm: task.thickMm, supportG: supportG / pieces });
  return task.weights.support * supportG + task.weights.hour * pieces * hoursWithRisk(eachS);
}

interface Tally {
  planesTried: number;
  divisions: number;
  mostSeen: number;
  readonly offersOf: Map<ProxyPart, readonly CutOffer[]>;
}

function byCost(a: Division, b: Division): number {
  return a.expectedMm - b.expectedMm;
}

/** The ways to cut the largest part of a division that fits no box, and its twin with it. */
function nextSteps(
  task: DivisionTask,
  division: Division,
  by: { readonly directions: readonly Vec3[]; readonly tick: () => void; readonly tally: Tally },
): NextStep[] {
  const part = largestUnfit(division.leaves);
  const twin = twinOf(task, part, division.leaves);
  if (twin === null && task.tries === MIRRORED_CUTS && !isSelfMirrored(task, part)) return [];
  let offers = by.tally.offersOf.get(part);
  if (offers === undefined) {
    const found = candidateCuts(task, part, by.directions, by.tick);
    by.tally.planesTried += found.planesTried;
    offers = found.offers;
    by.tally.offersOf.set(part, offers);
  }
  const { leastMm } = draftOf(task, division.whole, division.cuts, division.leaves);
  const times = twin === null ? 1 : 2;
  const wasMm = sideCost(task, part.need, part.weighedMm2);
  return offers.map((offer) => ({
    division,
    part,
    twin,
    offer,
    thoughtMm: leastMm + times * (offer.expectedMm - wasMm),
  }));
}

function largestUnfit(leaves: readonly ProxyPart[]): ProxyPart {
  let largest: ProxyPart | null = null;
  for (const leaf of leaves) {
    if (leaf.need.pieces === 1) continue;
    if (largest === null || leaf.areaMm2 > largest.areaMm2 * 1.0001) largest = leaf;
  }
  invariant(largest !== null, 'an incomplete division has an unfit part');
  return largest;
}

/** The unfit leaf that is the part's mirror image; null when there is none or it is the part itself. */
function twinOf(task: DivisionTask, part: ProxyPart, leaves: readonly ProxyPart[]): ProxyPart | null {
  if (task.mirrorX === null || isSelfMirrored(task, part)) return null;
  const isOpen = (leaf: ProxyPart) => leaf.need.pieces > 1 || task.tries === MIRRORED_CUTS;
  return leaves.find((leaf) => leaf !== part && isOpen(leaf) && areTwins(task, part, leaf)) ?? null;
}

function mirroredCut(task: DivisionTask, twin: ProxyPart, cut: Cut): Cut {
  const plane = isMirrorPlane(task, cut.plane) ? cut.plane : mirroredPlane(cut.plane, task.mirrorX ?? 0);
  return { ...cut, plane, sides: splitPart(task, twin, plane), pair: null };
}

function withCuts(task: DivisionTask, division: Division, made: readonly PartCut[]): Draft {
  const gone = new Set(made.map((one) => one.part));
  const leaves = division.leaves.filter((leaf) => !gone.has(leaf));
  for (const { cut } of made) {
    for (const leaf of [...cut.sides.below, ...cut.sides.above]) if (!gone.has(leaf)) leaves.push(leaf);
  }
  return draftOf(task, division.whole, [...division.cuts, ...made], leaves);
}

/** A division with its cost: seams, pieces and support decided, and estimates of what its unfit parts will still take. */
export function divisionOf(
  task: DivisionTask,
  whole: ProxyPart,
  cuts: readonly PartCut[],
  leaves: readonly ProxyPart[],
): Division {
  return weighedDivision(task, draftOf(task, whole, cuts, leaves));
}

function draftOf(task: DivisionTask, whole: ProxyPart, cuts: readonly PartCut[], leaves: readonly ProxyPart[]): Draft {
  let leastMm = 0;
  for (const { cut } of cuts) leastMm += cut.costMm;
  const pieces = leaves.reduce((sum, leaf) => sum + leaf.need.pieces, 0);
  for (const leaf of leaves) {
    leastMm += sideCost(task, leaf.need, leaf.weighedMm2);
    leastMm += chipOf(task, (leaf.areaMm2 / leaf.need.pieces / whole.areaMm2) * pieces);
  }
  return { whole, cuts, leaves, leastMm, isComplete: leaves.every((leaf) => leaf.need.pieces === 1) };
}

/** The cheapest divisions, leaving out those whose planes are all alike to those of one already kept. */
function keepDifferent(task: DivisionTask, divisions: readonly Division[]): Division[] {
  return keepWhere([...divisions].sort(byCost), task.beamWidth, (kept, division) => {
    const siblings = kept.filter((known) => isGrownFromSame(known, division)).length;
    if (siblings >= Math.ceil(task.beamWidth / 2)) return false;
    return !kept.some((known) => isSameDivision(task, known, division));
  });
}

/** Whether both start with the same cut. */
function isGrownFromSame(a: Pick<Division, 'cuts'>, b: Pick<Division, 'cuts'>): boolean {
  return a.cuts.length > 0 && b.cuts.length > 0 && a.cuts[0]!.cut === b.cuts[0]!.cut;
}

function isSameDivision(task: DivisionTask, a: Division, b: Division): boolean {
  if (a.cuts.length !== b.cuts.length) return false;
  return b.cuts.every((one) => a.cuts.some((other) => areAlike(task, one.cut.plane, other.cut.plane)));
}
