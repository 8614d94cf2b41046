// Planes worth cutting a part by: every direction swept once, the cheapest offsets of each kept.

import { layingFrames, NUM_TURNS } from '../../../geometry/laying-frames.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { ON_ITS_FRAMES, ON_THE_CUT, type PlaneSweep, sweepPlanes, sweptPart } from '../../../geometry/plane-sweep.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { chipCost, chipOf, isLopsided, isSelfMirrored, seamCost, sideCostOf } from './cut-costs.ts';
import {
  type DivisionTask,
  downsOf,
  MIRRORED_CUTS,
  OUTERMOST_SAMPLES,
  type ProxyPart,
  reachPoints,
} from './proxy-part.ts';

export interface Offer {
  readonly plane: Plane;
  /** Of one cut. */
  readonly costMm: number;
  readonly expectedMm: number;
  /** Boxes each side is thought to take. */
  readonly below: number;
  readonly above: number;
  /** The side that a cut and its mirror image both cut off, of a cut that comes in a pair. */
  readonly small: 0 | 1 | null;
}

export interface Swept {
  readonly offers: readonly Offer[];
  /** Per direction, the least expected cost. */
  readonly best: Float64Array;
  readonly planes: number;
}

/** How closely a part is looked at: points by which its sides are measured at most, and turns about the vertical. */
export interface Closeness {
  /** Of the samples every so many-th is swept. */
  readonly stride: number;
  readonly mostPoints: number;
  readonly numTurns: number;
  /** Directions that may lie downwards, beside the cut itself: the upright one, and of the others the latest. */
  readonly mostDowns: number;
}

export const ROUGHLY: Closeness = { stride: 2, mostPoints: 160, numTurns: 4, mostDowns: 4 };
export const CLOSELY: Closeness = { stride: 1, mostPoints: 700, numTurns: NUM_TURNS, mostDowns: 6 };

/** The best offers of every direction. Cost: docs/methods/division-search.md. */
export function planeOffers(
  task: DivisionTask,
  part: ProxyPart,
  directions: readonly Vec3[],
  by: { readonly closeness: Closeness; readonly tick: () => void },
): Swept {
  const sweep = sweeper(task, part, by.closeness);
  const inMiddle = mustMirror(task, part) ? samplesInMiddle(task, part) : null;
  const offers: Offer[] = [];
  const best = new Float64Array(directions.length).fill(Infinity);
  let planes = 0;
  directions.forEach((normal, i) => {
    by.tick();
    const swept = sweep(normal);
    planes += swept.num;
    const here = bestOffers(task, part, swept, inMiddle);
    for (const offer of here) best[i] = Math.min(best[i]!, offer.expectedMm);
    offers.push(...here);
  });
  return { offers, best, planes };
}

/** What the sweep thinks of given planes; those that pass the part by are left out. */
export function offersAt(
  task: DivisionTask,
  part: ProxyPart,
  planes: readonly Plane[],
  by: { readonly closeness: Closeness; readonly tick: () => void },
): Offer[] {
  const sweep = sweeper(task, part, by.closeness);
  const out: Offer[] = [];
  for (const plane of planes) {
    by.tick();
    const swept = sweep(plane.normal);
    const k = Math.round((plane.offsetMm - swept.firstMm) / swept.stepMm);
    if (k < 0 || k >= swept.num) continue;
    const lopsidedMm = isLopsided(task, part, plane) ? task.weights.lopsided : 0;
    out.push({
      plane,
      costMm: lineCost(task, swept, k) + lopsidedMm,
      expectedMm: aloneMm(task, part, swept, k) + lopsidedMm,
      below: swept.pieces[k * 2]!,
      above: swept.pieces[k * 2 + 1]!,
      small: null,
    });
  }
  return out;
}

function sweeper(task: DivisionTask, part: ProxyPart, closeness: Closeness): (normal: Vec3) => PlaneSweep {
  const { mostPoints, numTurns, mostDowns } = closeness;
  const [upright, ...others] = downsOf(part);
  const downs = [upright!, ...others.slice(-(mostDowns - 1))];
  const stride = Math.max(1, Math.ceil((part.samples.length * OUTERMOST_SHARE) / mostPoints));
  const swept = sweptPart(task.samples, task.weight, part.samples, {
    points: reachPoints(task, part, OUTERMOST_SAMPLES, stride),
    frames: layingFrames(downs, numTurns),
    stride: closeness.stride,
  });
  const stepMm = Math.max(part.need.longestMm / 160, Math.min(3, task.samples.spacingMm / 2));
  return (normal) => {
    const isDown = downs.some((down) => Math.abs(dot(down, normal)) > 0.9999);
    return sweepPlanes(swept, normal, {
      stepMm,
      grazingMm: task.leastSectionMm,
      boxes: part.boxes,
      standing: isDown ? ON_ITS_FRAMES : ON_THE_CUT,
    });
  };
}

/** About so many of a part's samples are the outermost of their cells. */
const OUTERMOST_SHARE = 0.55;
const OFFERS_A_DIRECTION = 3;

/** Whether the part has to stay its own mirror image. */
export function mustMirror(task: DivisionTask, part: ProxyPart): boolean {
  return task.tries === MIRRORED_CUTS && isSelfMirrored(task, part);
}

function bestOffers(task: DivisionTask, part: ProxyPart, sweep: PlaneSweep, inMiddle: Int32Array | null): Offer[] {
  const middle = middlePlane(task, part, sweep);
  const across =
    inMiddle !== null && !isMirrorDirection(sweep.normal) ? reachInMiddle(task, inMiddle, sweep.normal) : null;
  const lopsidedMm = isLopsided(task, part, { normal: sweep.normal, offsetMm: Infinity }) ? task.weights.lopsided : 0;
  const expected = new Float64Array(sweep.num).fill(Infinity);
  for (let k = 0; k < sweep.num; k++) {
    const offsetMm = sweep.firstMm + k * sweep.stepMm;
    if (across === null || k === middle) expected[k] = aloneMm(task, part, sweep, k) + (k === middle ? 0 : lopsidedMm);
    else if (offsetMm < across.lowMm) expected[k] = pairMm(task, part, sweep, { k, small: 0 });
    else if (offsetMm > across.highMm) expected[k] = pairMm(task, part, sweep, { k, small: 1 });
  }
  const offerOf = (k: number): Offer => {
    const offsetMm = k === middle ? middleOffset(task, sweep) : sweep.firstMm + k * sweep.stepMm;
    const isPair = across !== null && k !== middle;
    return {
      plane: { normal: sweep.normal, offsetMm },
      costMm: lineCost(task, sweep, k) + (k === middle || isPair ? 0 : lopsidedMm),
      expectedMm: expected[k]!,
      below: sweep.pieces[k * 2]!,
      above: sweep.pieces[k * 2 + 1]!,
      small: isPair ? (offsetMm < across.lowMm ? 0 : 1) : null,
    };
  };
  const kept: Offer[] = middle >= 0 && middle < sweep.num ? [offerOf(middle)] : [];
  while (kept.length < OFFERS_A_DIRECTION) {
    let least = -1;
    for (let k = 0; k < sweep.num; k++) {
      if (expected[k]! === Infinity || (least >= 0 && expected[k]! >= expected[least]!)) continue;
      const offsetMm = sweep.firstMm + k * sweep.stepMm;
      if (kept.every((known) => Math.abs(known.plane.offsetMm - offsetMm) > task.apartMm / 2)) least = k;
    }
    if (least < 0) break;
    kept.push(offerOf(least));
  }
  return kept;
}

function isMirrorDirection(normal: Vec3): boolean {
  return Math.abs(normal[0]) < 1e-9;
}

/** How far the part reaches along a direction where it crosses the plane of symmetry: planes beyond do not cross it there. */
function reachInMiddle(task: DivisionTask, inMiddle: Int32Array, normal: Vec3): { lowMm: number; highMm: number } {
  const { points } = task.samples;
  let lowMm = Infinity;
  let highMm = -Infinity;
  for (const s of inMiddle) {
    const d = points[s * 3]! * normal[0] + points[s * 3 + 1]! * normal[1] + points[s * 3 + 2]! * normal[2];
    lowMm = Math.min(lowMm, d);
    highMm = Math.max(highMm, d);
  }
  return { lowMm, highMm };
}

function samplesInMiddle(task: DivisionTask, part: ProxyPart): Int32Array {
  const { points, spacingMm } = task.samples;
  return part.samples.filter((s) => Math.abs(points[s * 3]! - task.mirrorX!) <= spacingMm);
}

function lineCost(task: DivisionTask, sweep: PlaneSweep, k: number): number {
  return seamCost(task, { seamMm: sweep.seamMm[k]!, grazingMm2: sweep.grazingMm2[k]! });
}

function aloneMm(task: DivisionTask, part: ProxyPart, sweep: PlaneSweep, k: number): number {
  const [below, above] = [sweep.pieces[k * 2]!, sweep.pieces[k * 2 + 1]!];
  return (
    lineCost(task, sweep, k) +
    sideCostOf(task, below, sweep.longestMm[k * 2]!, sweep.weighedMm2[k * 2]!) +
    sideCostOf(task, above, sweep.longestMm[k * 2 + 1]!, sweep.weighedMm2[k * 2 + 1]!) +
    chipCost(task, sweep.areaMm2[k * 2]! / part.areaMm2, below, above)
  );
}

/** A cut and its mirror image: two small sides alike, and what is left in the middle, which the second cut makes smaller still. */
function pairMm(
  task: DivisionTask,
  part: ProxyPart,
  sweep: PlaneSweep,
  { k, small }: { readonly k: number; readonly small: 0 | 1 },
): number {
  const own = k * 2 + small;
  const rest = k * 2 + 1 - small;
  const left = Math.max(1, sweep.pieces[rest]! - 1);
  const pieces = left + 2 * sweep.pieces[own]!;
  return (
    2 * lineCost(task, sweep, k) +
    2 * sideCostOf(task, sweep.pieces[own]!, sweep.longestMm[own]!, sweep.weighedMm2[own]!) +
    sideCostOf(task, left, sweep.longestMm[rest]!, Math.max(0, sweep.weighedMm2[rest]! - sweep.weighedMm2[own]!)) +
    2 * chipOf(task, (sweep.areaMm2[own]! / part.areaMm2 / sweep.pieces[own]!) * pieces)
  );
}

/** The plane of a sweep along x that stands in the symmetry plane, or -1. */
function middlePlane(task: DivisionTask, part: ProxyPart, sweep: PlaneSweep): number {
  if (task.mirrorX === null || Math.abs(sweep.normal[0]) < 0.9999 || !isSelfMirrored(task, part)) return -1;
  return Math.round((middleOffset(task, sweep) - sweep.firstMm) / sweep.stepMm);
}

function middleOffset(task: DivisionTask, sweep: PlaneSweep): number {
  return (task.mirrorX ?? 0) * sweep.normal[0];
}
