// What the measured prints of a machine teach: factors of the parts of its hours and of its grams, and how sure they are.
import { believeMore, foretell, type LinearBelief } from '../../geometry/linear/linear-belief.ts';
import { studentWidth } from '../../geometry/linear/student-t.ts';
import {
  type MeasuredPrint,
  sumOfParts,
  TIME_PARTS,
  type TimePart,
  type TimeParts,
} from '../process/measured-print.ts';

/** A part takes so many times what was estimated. */
export type TimeFactors = Readonly<Record<TimePart, number>>;

export interface Learnt {
  /** Measured prints learnt from, and how many of them were weighed. */
  readonly prints: number;
  readonly weighed: number;
  readonly factors: TimeFactors;
  readonly gramsFactor: number;
  /** Of the factors of a print's parts, in the order of TIME_PARTS; a measurement is the print's seconds over its estimated ones. */
  readonly hours: LinearBelief;
  /** Of the one factor of grams. */
  readonly grams: LinearBelief;
  /** Whether the prints contradict each other so much that a factor had to be held up to the least one that makes sense. */
  readonly isContradicted: boolean;
}

/** A stated plus-minus holds in so many of ten prints. */
export const SURE = 0.9;

/** Noise of one print against its estimate with the right factors, and how many prints this guess of it is worth. */
const NOISE = 0.05;
const NOISE_PRINTS = 6;
/** The same of its grams. */
const GRAMS_NOISE = 0.03;
/** How far each factor may stand off 1 before anything is measured, one standard deviation. Why so much: docs/methods/measured-prints.md. */
const SPREAD: TimeFactors = {
  contour: 0.05,
  infill: 0.15,
  closing: 0.15,
  support: 0.1,
  travel: 0.3,
  held: 0.03,
  startUp: 0.3,
};
/** What moves has it in common on top: a machine that is slow round contours is slow elsewhere. */
const COMMON_SPREAD = 0.1;
const GRAMS_SPREAD = 0.05;
/** No part takes less than this share of what was estimated. */
const LEAST_FACTOR = 0.25;

/** Learns from all prints; without any, what is believed before. Cost: microseconds a print. */
export function learnFrom(measured: readonly MeasuredPrint[]): Learnt {
  let hours = HOURS_BEFORE;
  let grams = GRAMS_BEFORE;
  let weighed = 0;
  for (const print of measured) {
    hours = believeMore(hours, sharesOf(print.parts), print.tookS / sumOfParts(print.parts));
    if (print.weighedG === null) continue;
    grams = believeMore(grams, [1], print.weighedG / print.estimatedG);
    weighed++;
  }
  const held = heldUp(hours.mean);
  return {
    prints: measured.length,
    weighed,
    factors: Object.fromEntries(TIME_PARTS.map((part, i) => [part, held.mean[i]!])) as Record<TimePart, number>,
    gramsFactor: grams.mean[0]!,
    hours: { ...hours, mean: held.mean },
    grams,
    isContradicted: held.isHeld,
  };
}

/** How far the hours of these prints together may be off: their joint spread, because what errs in one errs alike in the others. */
export function plusMinusS({ hours }: Learnt, prints: readonly TimeParts[]): number {
  const row = TIME_PARTS.map((part) => prints.reduce((sum, parts) => sum + parts[part], 0));
  return halfWidth(hours, row, Math.hypot(...prints.map(sumOfParts)));
}

/** The same for their grams; `estimatedG` of each print, before correction. */
export function plusMinusG({ grams }: Learnt, estimatedG: readonly number[]): number {
  return halfWidth(grams, [estimatedG.reduce((sum, each) => sum + each, 0)], Math.hypot(...estimatedG));
}

/** How far a factor may be off. */
export function plusMinusFactor({ hours }: Learnt, part: TimePart): number {
  return halfWidth(
    hours,
    TIME_PARTS.map((each) => (each === part ? 1 : 0)),
    0,
  );
}

export function plusMinusGrams({ grams }: Learnt): number {
  return halfWidth(grams, [1], 0);
}

function halfWidth(belief: LinearBelief, row: readonly number[], noise: number): number {
  const { scale, freedom } = foretell(belief, row, noise);
  return scale * studentWidth(SURE, freedom);
}

/** Shares of the parts in the whole print: errors grow in proportion to its length, so each print counts alike. */
export function sharesOf(parts: TimeParts): readonly number[] {
  const whole = sumOfParts(parts);
  return TIME_PARTS.map((part) => parts[part] / whole);
}

function beliefBefore(spreads: readonly number[], common: readonly number[], noise: number): LinearBelief {
  const num = spreads.length;
  const spread = new Float64Array(num * num);
  for (let i = 0; i < num; i++)
    for (let j = 0; j < num; j++)
      spread[i * num + j] = (common[i]! * common[j]! + (i === j ? spreads[i]! ** 2 : 0)) / noise ** 2;
  return {
    mean: new Float64Array(num).fill(1),
    spread,
    shape: NOISE_PRINTS / 2,
    rate: (NOISE_PRINTS / 2) * noise ** 2,
  };
}

const IN_COMMON: TimeFactors = {
  contour: COMMON_SPREAD,
  infill: COMMON_SPREAD,
  closing: COMMON_SPREAD,
  support: COMMON_SPREAD,
  travel: COMMON_SPREAD,
  held: 0,
  startUp: 0,
};
const HOURS_BEFORE = beliefBefore(
  TIME_PARTS.map((part) => SPREAD[part]),
  TIME_PARTS.map((part) => IN_COMMON[part]),
  NOISE,
);
const GRAMS_BEFORE = beliefBefore([GRAMS_SPREAD], [0], GRAMS_NOISE);

/** The factors, drawn back towards 1 all together until none is under the least. */
function heldUp(mean: Float64Array): { readonly mean: Float64Array; readonly isHeld: boolean } {
  const least = Math.min(...mean);
  if (least >= LEAST_FACTOR) return { mean, isHeld: false };
  const back = (1 - LEAST_FACTOR) / (1 - least);
  return { mean: mean.map((factor) => 1 + (factor - 1) * back), isHeld: true };
}
