// How long a machine takes for the lines of a piece, layer by layer, and what the lines weigh.
import type { Work } from '../../base/work.ts';
import type { PrintingMachine } from '../process/machine.ts';
import type { PrintingMaterial } from '../process/material.ts';
import { TIME_PARTS, type TimeParts } from '../process/measured-print.ts';
import {
  cornerSpeed,
  flowLimitedSpeed,
  type MotionLimits,
  moveSeconds,
  pathSeconds,
  waitingSeconds,
} from '../process/motion-time.ts';
import type { PrintSettings } from '../process/print-settings.ts';
import type { PrintSeconds } from '../process/printing-record.ts';
import type { LayerLines } from './layer-lines.ts';
import { type Learnt, learnFrom, type TimeFactors } from './learnt-prints.ts';

export interface PrintTime {
  readonly printS: number;
  readonly seconds: PrintSeconds;
  /** As the machine's figures alone say, before its measured prints correct them. */
  readonly parts: TimeParts;
  readonly secondsByHeight: readonly number[];
  /** Of each layer, without waiting. */
  readonly layerS: Float64Array;
}

export const HEIGHT_BINS = 20;

/** Seconds of one print, corrected by the machine's measured prints; a layer that waits for the shortest layer time is corrected whole. `seconds` sum to `printS` exactly in the order of the record's members.
 *  Method: docs/methods/print-time.md. Cost: O(contour moves), about 0.1 s per million.
 *  Weak: accelerations are taken as even, and corners by one law; measured prints correct what that costs. */
export function printTime(lines: LayerLines, machine: PrintingMachine, print: PrintSettings, work: Work): PrintTime {
  const { factors } = learnFrom(machine.measured);
  const sums = { contour: 0, infill: 0, closing: 0, support: 0, travel: 0, waiting: 0 };
  const parts = { contour: 0, infill: 0, closing: 0, support: 0, travel: 0, held: 0 };
  const byHeight = new Float64Array(HEIGHT_BINS);
  const { numLayers, bottomMm } = lines.measures;
  const layerS = new Float64Array(numLayers);
  const clock = layerClock(lines, machine, print);
  for (let k = 0; k < numLayers; k++) {
    if ((k & 31) === 0) work.tick(k / numLayers, 'timing layers');
    const layer = clock(k);
    const { contour, infill, closing, support, travel } = layer;
    const busy = contour + infill + closing + support + travel;
    const waiting = waitingSeconds(busy, machine.shortestLayerS);
    const by = waiting > 0 ? whollyBy(factors.held) : factors;
    if (waiting > 0) parts.held += busy + waiting;
    else {
      parts.contour += contour;
      parts.infill += infill;
      parts.closing += closing;
      parts.support += support;
      parts.travel += travel;
    }
    sums.contour += contour * by.contour;
    sums.infill += infill * by.infill;
    sums.closing += closing * by.closing;
    sums.support += support * by.support;
    sums.travel += travel * by.travel;
    sums.waiting += waiting * by.held;
    layerS[k] = movingSeconds(layer, factors);
    shareHeight(byHeight, movingSeconds(layer, by) + waiting * by.held, {
      from: bottomMm[k]!,
      to: bottomMm[k + 1]!,
      whole: bottomMm[numLayers]!,
    });
  }
  const seconds: PrintSeconds = { ...sums, startUp: machine.startUpS * factors.startUp };
  const printS =
    seconds.contour +
    seconds.infill +
    seconds.closing +
    seconds.support +
    seconds.travel +
    seconds.waiting +
    seconds.startUp;
  return {
    printS,
    seconds,
    parts: { ...parts, startUp: machine.startUpS },
    secondsByHeight: Array.from(byHeight),
    layerS,
  };
}

function movingSeconds({ contour, infill, closing, support, travel }: LayerSeconds, by: TimeFactors): number {
  const filled = infill * by.infill + closing * by.closing + support * by.support;
  return contour * by.contour + filled + travel * by.travel;
}

function whollyBy(factor: number): TimeFactors {
  return Object.fromEntries(TIME_PARTS.map((part) => [part, factor])) as TimeFactors;
}

type LayerSeconds = Omit<PrintSeconds, 'waiting' | 'startUp'>;

function layerClock(lines: LayerLines, machine: PrintingMachine, print: PrintSettings): (k: number) => LayerSeconds {
  const { measures } = lines;
  const scratch = new Float64Array(longestLoop(measures.loopStart) + 1);
  const { lineMm, infillPercent, supportPercent } = print;
  return (k) => {
    const lineAreaMm2 = lineMm * (measures.bottomMm[k + 1]! - measures.bottomMm[k]!);
    const limits = (wantedMmS: number): MotionLimits => ({
      speedMmS: flowLimitedSpeed(k === 0 ? machine.firstLayerSpeedMmS : wantedMmS, machine.maxFlowMm3S, lineAreaMm2),
      accelerationMmS2: machine.accelerationMmS2,
      junctionDeviationMm: machine.junctionDeviationMm,
    });
    const around = (limit: MotionLimits): number => {
      let seconds = 0;
      for (let loop = measures.layerLoop[k]!; loop < measures.layerLoop[k + 1]!; loop++) {
        const range = { from: measures.loopStart[loop]!, to: measures.loopStart[loop + 1]!, scratch };
        seconds += pathSeconds(measures.moves, limit, range);
      }
      return seconds;
    };
    const whole = measures.lengthMm[k]!;
    let contour = 0;
    if (lines.outerMm[k]! > 0) contour += (around(limits(machine.outerWallSpeedMmS)) * lines.outerMm[k]!) / whole;
    if (lines.innerMm[k]! > 0) contour += (around(limits(machine.wallSpeedMmS)) * lines.innerMm[k]!) / whole;
    const spanMm = lines.spanMm[k]!;
    return {
      contour,
      infill: zigzagSeconds(
        lines.infillLineMm[k]!,
        spanMm,
        (lineMm * 100) / infillPercent,
        limits(machine.infillSpeedMmS),
      ),
      closing: zigzagSeconds(lines.closingLineMm[k]!, lines.closingSpanMm[k]!, lineMm, limits(machine.closingSpeedMmS)),
      support: zigzagSeconds(
        lines.supportLineMm[k]!,
        lines.supportSpanMm[k]!,
        (lineMm * 100) / supportPercent,
        limits(machine.supportSpeedMmS),
      ),
      travel: travelSeconds(lines, machine, { k, lineMm }),
    };
  };
}

/** Straight lines of `spanMm`, each joined to the next along the boundary with two square corners. Lines at this spacing
 *  meet a boundary of length P in 2 P / (pi spacing) places on average, so the joins are pi / 2 spacings long. */
function zigzagSeconds(lineMm: number, spanMm: number, spacingMm: number, limits: MotionLimits): number {
  if (lineMm <= 0) return 0;
  const corner = Math.min(limits.speedMmS, cornerSpeed(0.5, limits));
  const numLines = lineMm / spanMm;
  const there = numLines * moveSeconds(spanMm, limits, corner, corner);
  if (numLines <= 1) return there;
  return there + (numLines - 1) * moveSeconds((Math.PI / 2) * spacingMm, limits, corner, corner);
}

/** Between contours along a shortest tree, between passes by a line's width, to each filled region and back to the start by
 *  the mean distance of two places on the contours; a retraction for each but the steps between passes. */
function travelSeconds(lines: LayerLines, machine: PrintingMachine, at: { k: number; lineMm: number }): number {
  const { k, lineMm } = at;
  const { measures } = lines;
  const limits = { speedMmS: machine.travelSpeedMmS, accelerationMmS2: machine.travelAccelerationMmS2 };
  const loops = measures.numOuter[k]! + measures.numHoles[k]!;
  const regions = [lines.infillLineMm, lines.closingLineMm, lines.supportLineMm].filter((line) => line[k]! > 0).length;
  const between = Math.max(0, loops - 1);
  let seconds = machine.layerChangeS + (between + regions + 1) * machine.retractionS;
  if (between > 0) seconds += between * moveSeconds(measures.linkMm[k]! / between, limits);
  seconds += loops * Math.max(0, lines.numPasses[k]! - 1) * moveSeconds(lineMm, limits);
  seconds += (regions + 1) * moveSeconds(Math.SQRT2 * measures.spreadMm[k]!, limits);
  return seconds;
}

function longestLoop(loopStart: Uint32Array): number {
  let longest = 0;
  for (let i = 0; i + 1 < loopStart.length; i++) longest = Math.max(longest, loopStart[i + 1]! - loopStart[i]!);
  return longest;
}

/** Adds a layer's seconds to the bins of height it lies in. */
function shareHeight(
  bins: Float64Array,
  seconds: number,
  layer: { readonly from: number; readonly to: number; readonly whole: number },
): void {
  const perBin = layer.whole / bins.length;
  const first = Math.min(bins.length - 1, Math.floor(layer.from / perBin));
  const last = Math.min(bins.length - 1, Math.max(first, Math.ceil(layer.to / perBin) - 1));
  let left = seconds;
  for (let bin = first; bin < last; bin++) {
    const within = (bin + 1) * perBin - Math.max(layer.from, bin * perBin);
    const part = Math.min(left, (seconds * Math.max(0, within)) / (layer.to - layer.from));
    bins[bin]! += part;
    left -= part;
  }
  bins[last]! += left;
}

export interface PrintMaterial {
  readonly pieceMm3: number;
  readonly supportMm3: number;
  readonly filamentG: number;
  readonly supportG: number;
  /** Filament of piece and support together. */
  readonly filamentM: number;
}

/** Plastic in the lines: line width x layer height a mm. Never more than the layers' own volume (area x height). */
export function printMaterial(lines: LayerLines, print: PrintSettings, material: PrintingMaterial): PrintMaterial {
  const { numLayers, bottomMm } = lines.measures;
  let [pieceMm3, supportMm3] = [0, 0];
  for (let k = 0; k < numLayers; k++) {
    const lineAreaMm2 = print.lineMm * (bottomMm[k + 1]! - bottomMm[k]!);
    const lengthMm = lines.outerMm[k]! + lines.innerMm[k]! + lines.infillLineMm[k]! + lines.closingLineMm[k]!;
    pieceMm3 += lengthMm * lineAreaMm2;
    supportMm3 += lines.supportLineMm[k]! * lineAreaMm2;
  }
  const gPerMm3 = material.densityGCm3 / 1000;
  const filamentMm2 = (Math.PI / 4) * material.filamentMm ** 2;
  return {
    pieceMm3,
    supportMm3,
    filamentG: pieceMm3 * gPerMm3,
    supportG: supportMm3 * gPerMm3,
    filamentM: (pieceMm3 + supportMm3) / filamentMm2 / 1000,
  };
}

/** The same with grams and metres as the machine's weighed prints say. */
export function correctedMaterial(material: PrintMaterial, { gramsFactor }: Learnt): PrintMaterial {
  return {
    ...material,
    filamentG: material.filamentG * gramsFactor,
    supportG: material.supportG * gramsFactor,
    filamentM: material.filamentM * gramsFactor,
  };
}
