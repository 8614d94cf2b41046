// What failing prints cost: hours of the machine until a print has succeeded, and into how many prints work is best divided.
import { invariant } from '../../base/invariant.ts';

/** A machine that is looked after, mean hours. Common practice, no source: between the fifth of all prints that life-cycle studies assume and what makers tell. */
export const ORDINARY_HOURS_A_FAILURE = 100;

/** How prints fail. */
export interface FailureRate {
  /** Mean hours of printing between failures; a print that fails begins again from nothing. */
  readonly hoursAFailure: number;
  /** Share of prints that fail on their first layer. */
  readonly firstLayerShare: number;
  /** What such a one has cost by then, hours. */
  readonly firstLayerH: number;
}

/** Until a first layer has failed: heating, levelling, that layer, and seeing it. Common practice, no source. */
const FIRST_LAYER_H = 0.25;

/** `unsteady`: how much likelier than a squat print one fails, as a share more. */
export function failureRate(
  { hoursAFailure, firstLayerFailPercent }: { readonly hoursAFailure: number; readonly firstLayerFailPercent: number },
  unsteady: number,
): FailureRate {
  return {
    hoursAFailure: hoursAFailure / (1 + unsteady),
    firstLayerShare: firstLayerFailPercent / 100,
    firstLayerH: FIRST_LAYER_H,
  };
}

/** Prints of more than so many times the hours between failures never come out: what they take is told as if they were that long. */
const MOST_TIMES = 50;

/** Mean hours of the machine until a print of this length has succeeded: M (e^(T/M) - 1) + e^(T/M) q t0 / (1 - q). Failures fall evenly over time, M hours
 *  between them; q of all first layers fail after t0. Finite for any length, see MOST_TIMES.
 *  Source: the first term Daly 2006, doi 10.1016/j.future.2004.11.016 (expected time to one success); docs/methods/failing-prints.md. */
export function hoursToSuccess(hours: number, { hoursAFailure, firstLayerShare, firstLayerH }: FailureRate): number {
  const grown = Math.expm1(Math.min(MOST_TIMES, hours / hoursAFailure));
  return hoursAFailure * grown + ((1 + grown) * firstLayerShare * firstLayerH) / (1 - firstLayerShare);
}

/** Share of prints of this length that do not come to their end. */
export function failingShare(hours: number, { hoursAFailure, firstLayerShare }: FailureRate): number {
  return 1 - (1 - firstLayerShare) * Math.exp(-hours / hoursAFailure);
}

/** Mean hours for `workH` of printing in `prints` even prints, each with `overheadH` of its own. */
export function hoursInPrints(workH: number, prints: number, overheadH: number, rate: FailureRate): number {
  return prints * hoursToSuccess(workH / prints + overheadH, rate);
}

/** How many even prints take the fewest hours, first layers included; each has some overhead of its own. Cost: O(prints). */
export function bestPrints(workH: number, overheadH: number, rate: FailureRate): number {
  invariant(overheadH > 0, 'without overhead ever shorter prints would be ever better');
  // none of the best prints is longer than the hours between failures; from there the curve falls to its one lowest place
  let prints = Math.max(1, Math.floor(workH / rate.hoursAFailure));
  while (hoursInPrints(workH, prints + 1, overheadH, rate) < hoursInPrints(workH, prints, overheadH, rate)) prints++;
  return prints;
}

/** The length of print at which the fewest hours are lost in the long run, first layers left out, in the unit of both arguments. Source: Daly 2006, the higher-order
 *  estimate; a tenth of a percent off the root of e^((x + c) / M) (1 - x / M) = 1 for an overhead under a fiftieth of M. */
export function bestLength(overhead: number, betweenFailures: number): number {
  if (overhead >= 2 * betweenFailures) return betweenFailures;
  const half = overhead / (2 * betweenFailures);
  return Math.sqrt(2 * overhead * betweenFailures) * (1 + Math.sqrt(half) / 3 + half / 9) - overhead;
}
