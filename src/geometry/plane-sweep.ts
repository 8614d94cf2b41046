// One pass over a part's samples gives, for every offset of a plane of one direction, what a cut there would mean:
// length of seam, grazing surface, area, and how both sides stand to the boxes they must fit in.
import type { Vec3 } from '../mesh/mesh.ts';
import { type BoxNeed, boxNeed, type LayingFrames, layingFrames, type PrintBox } from './laying-frames.ts';
import type { SurfaceSamples } from './surface-patches.ts';

/** A part laid out for sweeping: its samples one after another, and the points by which its sides are measured, with their
 *  projections on the directions of the frames. */
export interface SweptPart {
  /** numSamples x 14, single precision: middle, normal, area, weighted area, spread. */
  readonly rows: Float32Array;
  /** numPoints x 3. */
  readonly points: Float64Array;
  readonly frames: LayingFrames;
  /** numPoints x directions of the frames. */
  readonly projections: Float32Array;
}

/** weight: per sample of `all`. Only samples that weigh anything are swept, of these every `stride`-th, and stand for all: of a shell
 *  that is the outside, half of it. Cost: samples, and points x directions, about 1 ns each. */
export function sweptPart(
  all: SurfaceSamples,
  weight: Float64Array,
  samples: Int32Array,
  by: { readonly points: Float64Array; readonly frames: LayingFrames; readonly stride?: number },
): SweptPart {
  const { middles: p, normals: n, areaMm2, spread } = all;
  const { stride = 1 } = by;
  let num = 0;
  let area = 0;
  let swept = 0;
  let weighed = 0;
  let weighedSwept = 0;
  for (const s of samples) {
    area += areaMm2[s]!;
    if (weight[s]! <= 0) continue;
    weighed += areaMm2[s]! * weight[s]!;
    if (num++ % stride !== 0) continue;
    swept += areaMm2[s]!;
    weighedSwept += areaMm2[s]! * weight[s]!;
  }
  const rows = new Float32Array(Math.ceil(num / stride) * ROW);
  let at = 0;
  let seen = 0;
  for (const s of samples) {
    if (weight[s]! <= 0 || seen++ % stride !== 0) continue;
    for (let c = 0; c < 3; c++) {
      rows[at + c] = p[s * 3 + c]!;
      rows[at + 3 + c] = n[s * 3 + c]!;
    }
    rows[at + 6] = (areaMm2[s]! * area) / swept;
    rows[at + 7] = (areaMm2[s]! * weight[s]! * weighed) / weighedSwept;
    // one that stands for several spreads over as much more
    for (let c = 0; c < 6; c++) rows[at + 8 + c] = stride * spread[s * 6 + c]! * (c < 3 ? 1 : 2);
    at += ROW;
  }
  const { points, frames } = by;
  return { rows, points, frames, projections: projected(points, frames.directions) };
}

const ROW = 14;

/** Planes k = 0 .. num - 1 stand at firstMm + k * stepMm; side 0 is below (normal . p less), side 1 above. */
export interface PlaneSweep {
  readonly normal: Vec3;
  readonly num: number;
  readonly firstMm: number;
  readonly stepMm: number;
  /** num: weighted length of the section line at each plane, mm. */
  readonly seamMm: Float64Array;
  /** num: area lying within `grazingMm` of the plane and nearly along it, mm2: what a cut would leave as feather edges. */
  readonly grazingMm2: Float64Array;
  /** num x 2: area, and weighted area, of each side. */
  readonly areaMm2: Float64Array;
  readonly weighedMm2: Float64Array;
  /** num x 2: boxes each side is thought to take, and the longest side it was judged by. */
  readonly pieces: Float64Array;
  readonly longestMm: Float64Array;
}

export interface SweepOptions {
  readonly stepMm: number;
  /** Half the width of the strip about a plane in which grazing surface counts. */
  readonly grazingMm: number;
  readonly boxes: readonly PrintBox[];
  /** Whether a side may also stand on the cut itself, beside the frames of the part. */
  readonly standing: typeof ON_THE_CUT | typeof ON_ITS_FRAMES;
}

export const ON_THE_CUT = 'on the cut';
export const ON_ITS_FRAMES = 'on its frames';

/** Sweeps a plane of direction `normal` through a part.
 *  Method: by the coarea formula the section length L(d) obeys  integral L dd = integral over the surface of sqrt(1 - (n.N)^2) dA,
 *  so a sample of area a adds a * sqrt(1 - (n.N)^2) spread over its own width along n, that of a box with the same spread. Sides: points in the order of their heights
 *  widen the extents from both ends, and the boxes are looked up where an extent has grown.
 *  Cost: 15 ns a sample, 2 ns a point and direction, 5 ns a plane and frame. Space: that of the samples. */
export function sweepPlanes(part: SweptPart, normal: Vec3, options: SweepOptions): PlaneSweep {
  const heights = heightsOf(part.points, normal);
  const step = options.stepMm;
  const numBins = Math.max(1, Math.ceil((heights.high - heights.low) / step));
  const first = (heights.low + heights.high - numBins * step) / 2;
  const num = numBins - 1;
  const sums = binSums(part, { normal, numBins, first, step, grazing: options.grazingMm });
  const order = sortedIntoBins(heights.of, { first, step, numBins });
  const pieces = new Float64Array(num * 2);
  const longestMm = new Float64Array(num * 2);
  const own = options.standing === ON_THE_CUT ? layingFrames([normal], part.frames.numTurns) : NO_FRAMES;
  const measured = { part, own, ownProjections: projected(part.points, own.directions) };
  for (const side of [0, 1] as const) sideNeeds(measured, order, options.boxes, { side, pieces, longestMm });
  return { normal, num, firstMm: first + step, stepMm: step, ...sums, pieces, longestMm };
}

const NO_FRAMES: LayingFrames = { numDowns: 0, numTurns: 1, directions: new Float64Array(0) };

function projected(points: Float64Array, directions: Float64Array): Float32Array {
  const numDirections = directions.length / 3;
  const out = new Float32Array((points.length / 3) * numDirections);
  let at = 0;
  for (let i = 0; i < points.length; i += 3) {
    const x = points[i]!;
    const y = points[i + 1]!;
    const z = points[i + 2]!;
    for (let d = 0; d < directions.length; d += 3) {
      out[at++] = directions[d]! * x + directions[d + 1]! * y + directions[d + 2]! * z;
    }
  }
  return out;
}

function heightsOf(points: Float64Array, normal: Vec3): { of: Float64Array; low: number; high: number } {
  const of = new Float64Array(points.length / 3);
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < of.length; i++) {
    const d = points[i * 3]! * normal[0] + points[i * 3 + 1]! * normal[1] + points[i * 3 + 2]! * normal[2];
    of[i] = d;
    if (d < low) low = d;
    if (d > high) high = d;
  }
  return { of, low, high };
}

interface Binning {
  readonly normal: Vec3;
  readonly numBins: number;
  readonly first: number;
  readonly step: number;
  readonly grazing: number;
}

interface BinSums {
  seamMm: Float64Array;
  grazingMm2: Float64Array;
  areaMm2: Float64Array;
  weighedMm2: Float64Array;
}

const GRAZING_COS = 0.9;

function binSums({ rows }: SweptPart, b: Binning): BinSums {
  const num = b.numBins - 1;
  // differences: a box of height h from plane i to plane j is +h at i and -h at j; a running sum then fills the boxes
  const seam = new Float64Array(num + 2);
  const grazing = new Float64Array(num + 2);
  const area = new Float64Array(b.numBins);
  const weighed = new Float64Array(b.numBins);
  const [nx, ny, nz] = b.normal;
  const perStep = 1 / b.step;
  const grazed = Math.max(0.5, b.grazing * perStep);
  const last = num;
  const narrowest = b.step * b.step;
  for (let i = 0; i < rows.length; i += ROW) {
    const facing = nx * rows[i + 3]! + ny * rows[i + 4]! + nz * rows[i + 5]!;
    const place = (nx * rows[i]! + ny * rows[i + 1]! + nz * rows[i + 2]! - b.first) * perStep;
    const a = rows[i + 6]!;
    const w = rows[i + 7]!;
    const bin = Math.min(num, Math.max(0, Math.floor(place)));
    area[bin] = area[bin]! + a;
    weighed[bin] = weighed[bin]! + w;
    const across = Math.sqrt(Math.max(0, 1 - facing * facing));
    const variance =
      nx * nx * rows[i + 8]! +
      ny * ny * rows[i + 9]! +
      nz * nz * rows[i + 10]! +
      nx * ny * rows[i + 11]! +
      nx * nz * rows[i + 12]! +
      ny * nz * rows[i + 13]!;
    const width = Math.sqrt(Math.max(narrowest, 12 * variance));
    const half = width * perStep * 0.5;
    // a plane takes the share of its own step that the patch covers, so that rows of patches side by side add up evenly
    const begins = Math.min(last, Math.max(0, place - 0.5 - half));
    const ends = Math.min(last, Math.max(0, place - 0.5 + half));
    const from = Math.floor(begins);
    const to = Math.floor(ends);
    const perWidth = across / width;
    const late = begins - from;
    const left = ends - to;
    const s = w * perWidth;
    seam[from] = seam[from]! + s * (1 - late);
    seam[from + 1] = seam[from + 1]! + s * late;
    seam[to] = seam[to]! - s * (1 - left);
    seam[to + 1] = seam[to + 1]! - s * left;
    if (facing > GRAZING_COS || facing < -GRAZING_COS) addBox(grazing, place - 1, grazed, a);
  }
  const areas = new Float64Array(num * 2);
  const weighs = new Float64Array(num * 2);
  bothSides(area, areas);
  bothSides(weighed, weighs);
  return {
    seamMm: runningSum(seam, num),
    grazingMm2: runningSum(grazing, num),
    areaMm2: areas,
    weighedMm2: weighs,
  };
}

/** Adds `height` to the planes whose place lies in [centre - half, centre + half). */
function addBox(differences: Float64Array, centre: number, half: number, height: number): void {
  const last = differences.length - 2;
  const from = Math.min(last, Math.max(0, Math.ceil(centre - half)));
  const to = Math.min(last, Math.max(0, Math.ceil(centre + half)));
  differences[from] = differences[from]! + height;
  differences[to] = differences[to]! - height;
}

function runningSum(differences: Float64Array, num: number): Float64Array {
  const out = new Float64Array(num);
  let sum = 0;
  for (let i = 0; i < num; i++) {
    sum += differences[i]!;
    out[i] = Math.max(0, sum);
  }
  return out;
}

function bothSides(bins: Float64Array, out: Float64Array): void {
  let total = 0;
  for (let k = 0; k < bins.length; k++) total += bins[k]!;
  let below = 0;
  for (let k = 0; k < bins.length - 1; k++) {
    below += bins[k]!;
    out[k * 2] = below;
    out[k * 2 + 1] = total - below;
  }
}

interface BinOrder {
  /** Points, lowest bin first. */
  readonly points: Uint32Array;
  /** numBins + 1. */
  readonly start: Uint32Array;
}

function sortedIntoBins(
  heights: Float64Array,
  by: { readonly first: number; readonly step: number; readonly numBins: number },
): BinOrder {
  const bins = new Uint32Array(heights.length);
  const start = new Uint32Array(by.numBins + 1);
  for (let i = 0; i < heights.length; i++) {
    const bin = Math.min(by.numBins - 1, Math.max(0, Math.floor((heights[i]! - by.first) / by.step)));
    bins[i] = bin;
    start[bin + 1] = start[bin + 1]! + 1;
  }
  for (let k = 0; k < by.numBins; k++) start[k + 1] = start[k + 1]! + start[k]!;
  const next = start.slice();
  const points = new Uint32Array(heights.length);
  for (let i = 0; i < heights.length; i++) {
    const bin = bins[i]!;
    points[next[bin]!] = i;
    next[bin] = next[bin]! + 1;
  }
  return { points, start };
}

interface Measured {
  readonly part: SweptPart;
  /** Frames of this direction only, and the projections on them. */
  readonly own: LayingFrames;
  readonly ownProjections: Float32Array;
}

function sideNeeds(
  { part, own, ownProjections }: Measured,
  order: BinOrder,
  boxes: readonly PrintBox[],
  out: { readonly side: 0 | 1; readonly pieces: Float64Array; readonly longestMm: Float64Array },
): void {
  const numBins = order.start.length - 1;
  const numFrames = part.frames.directions.length / 3;
  const numOwn = own.directions.length / 3;
  const frames = { numDowns: part.frames.numDowns + own.numDowns, numTurns: part.frames.numTurns };
  const numDims = numFrames + numOwn;
  const reach: Reach = {
    low: new Float64Array(numDims).fill(Infinity),
    high: new Float64Array(numDims).fill(-Infinity),
  };
  const onPart: Projected = { of: part.projections, at: 0, count: numFrames };
  const onOwn: Projected = { of: ownProjections, at: numFrames, count: numOwn };
  const extents = new Float64Array(numDims);
  const need: BoxNeed = { pieces: 1, longestMm: 0, slackMm: 0 };
  for (let step = 0; step < numBins - 1; step++) {
    const bin = out.side === 0 ? step : numBins - 1 - step;
    let grown = 0;
    for (let k = order.start[bin]!; k < order.start[bin + 1]!; k++) {
      const point = order.points[k]!;
      grown |= widened(reach, onPart, point);
      if (numOwn > 0) grown |= widened(reach, onOwn, point);
    }
    if (grown > 0) {
      for (let d = 0; d < numDims; d++) extents[d] = reach.high[d]! - reach.low[d]!;
      boxNeed(extents, frames, boxes, need);
    }
    const at = (out.side === 0 ? bin : bin - 1) * 2 + out.side;
    out.pieces[at] = need.pieces;
    out.longestMm[at] = need.longestMm;
  }
}

interface Reach {
  readonly low: Float64Array;
  readonly high: Float64Array;
}

/** Projections of all points on some of the directions: `count` of them, from the at-th on. */
interface Projected {
  readonly of: Float32Array;
  readonly at: number;
  readonly count: number;
}

/** Takes one point's projections in; 0 when it lies within what there was. */
function widened({ low, high }: Reach, { of, at, count }: Projected, point: number): number {
  let grown = 0;
  for (let d = at, i = point * count; d < at + count; d++, i++) {
    const v = of[i]!;
    if (v < low[d]!) {
      low[d] = v;
      grown = 1;
    }
    if (v > high[d]!) {
      high[d] = v;
      grown = 1;
    }
  }
  return grown;
}
