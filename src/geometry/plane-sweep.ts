// One pass over a part's samples gives, for every offset of a plane of one direction, what a cut there would mean:
// length of seam, grazing surface, area, and the extents of both sides along many directions.
import type { Vec3 } from '../mesh/mesh.ts';
import type { SurfaceSamples } from './surface-patches.ts';

/** A part's samples, and the points by which its extents are measured with their projections on the directions asked. */
export interface SweptPart {
  readonly samples: Int32Array;
  /** numPoints x 3. */
  readonly points: Float64Array;
  readonly numDirections: number;
  /** numPoints x numDirections. */
  readonly projections: Float32Array;
}

export function sweptPart(samples: Int32Array, points: Float64Array, directions: Float64Array): SweptPart {
  const numDirections = directions.length / 3;
  return { samples, points, numDirections, projections: projected(points, directions) };
}

/** Planes k = 0 .. num - 1 stand at firstMm + k * stepMm; side 0 is below (normal . p less), side 1 above. */
export interface PlaneSweep {
  readonly normal: Vec3;
  readonly num: number;
  readonly firstMm: number;
  readonly stepMm: number;
  /** num: weighted length of the section line at each plane, mm. */
  readonly seamMm: Float64Array;
  /** num: length of the section line, not weighted (both sides of a wall), mm. */
  readonly lineMm: Float64Array;
  /** num: area lying within `grazingMm` of the plane and nearly along it, mm2: what a cut would leave as feather edges. */
  readonly grazingMm2: Float64Array;
  /** num x 2: area, and weighted area, of each side. */
  readonly areaMm2: Float64Array;
  readonly weighedMm2: Float64Array;
  /** [side][plane x numExtents]: extents along the part's directions, then along the own ones, mm. */
  readonly extents: readonly [Float64Array, Float64Array];
  readonly numExtents: number;
}

export interface SweepOptions {
  readonly stepMm: number;
  /** Half the width of the strip about a plane in which grazing surface counts. */
  readonly grazingMm: number;
  /** numOwn x 3: further directions for extents, of this plane direction only. */
  readonly own: Float64Array;
}

/** Sweeps a plane of direction `normal` through a part.
 *  Method: by the coarea formula the section length L(d) obeys  integral L dd = integral over the surface of sqrt(1 - (n.N)^2) dA,
 *  so a sample of area a adds a * sqrt(1 - (n.N)^2) spread over the sample's own width. Extents: points sorted by height, minima
 *  and maxima running from both ends. Cost: points x directions, about 1 ns each. Space: that of the samples. */
export function sweepPlanes(
  all: SurfaceSamples,
  part: SweptPart,
  weight: Float64Array,
  at: { readonly normal: Vec3; readonly options: SweepOptions },
): PlaneSweep {
  const { normal, options } = at;
  const heights = heightsOf(part.points, normal);
  const step = options.stepMm;
  const numBins = Math.max(1, Math.ceil((heights.high - heights.low) / step));
  const first = (heights.low + heights.high - numBins * step) / 2;
  const num = numBins - 1;
  const sums = binSums(all, part.samples, weight, { normal, numBins, first, step, grazing: options.grazingMm });
  const order = sortedIntoBins(heights.of, { first, step, numBins });
  const own = projected(part.points, options.own);
  const numExtents = part.numDirections + options.own.length / 3;
  const extents: [Float64Array, Float64Array] = [
    new Float64Array(num * numExtents),
    new Float64Array(num * numExtents),
  ];
  sideExtents(extents, order, part.projections, { from: 0, count: part.numDirections, numExtents });
  sideExtents(extents, order, own, { from: part.numDirections, count: numExtents - part.numDirections, numExtents });
  return { normal, num, firstMm: first + step, stepMm: step, ...sums, extents, numExtents };
}

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
  lineMm: Float64Array;
  grazingMm2: Float64Array;
  areaMm2: Float64Array;
  weighedMm2: Float64Array;
}

const GRAZING_COS = 0.9;

function binSums(all: SurfaceSamples, samples: Int32Array, weight: Float64Array, b: Binning): BinSums {
  const num = b.numBins - 1;
  // differences: a box of height h from plane i to plane j is +h at i and -h at j; a running sum then fills the boxes
  const seam = new Float64Array(num + 2);
  const line = new Float64Array(num + 2);
  const grazing = new Float64Array(num + 2);
  const area = new Float64Array(b.numBins);
  const weighed = new Float64Array(b.numBins);
  const [nx, ny, nz] = b.normal;
  const { middles: p, normals: n } = all;
  for (let i = 0; i < samples.length; i++) {
    const s = samples[i]!;
    const facing = nx * n[s * 3]! + ny * n[s * 3 + 1]! + nz * n[s * 3 + 2]!;
    const across = Math.sqrt(Math.max(0, 1 - facing * facing));
    const a = all.areaMm2[s]!;
    const place = (nx * p[s * 3]! + ny * p[s * 3 + 1]! + nz * p[s * 3 + 2]! - b.first) / b.step;
    const bin = Math.min(b.numBins - 1, Math.max(0, Math.floor(place)));
    area[bin] = area[bin]! + a;
    weighed[bin] = weighed[bin]! + a * weight[s]!;
    const width = Math.max(b.step, all.spacingMm * across);
    const half = width / (2 * b.step);
    addBox(seam, place - 1, half, (a * across * weight[s]!) / width);
    addBox(line, place - 1, half, (a * across) / width);
    if (Math.abs(facing) > GRAZING_COS) addBox(grazing, place - 1, Math.max(0.5, b.grazing / b.step), a);
  }
  const areas = new Float64Array(num * 2);
  const weighs = new Float64Array(num * 2);
  bothSides(area, areas);
  bothSides(weighed, weighs);
  return {
    seamMm: runningSum(seam, num),
    lineMm: runningSum(line, num),
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

/** Minima and maxima per bin first, then run together from both ends: the points are read once. */
function sideExtents(
  extents: readonly [Float64Array, Float64Array],
  order: BinOrder,
  projections: Float32Array,
  at: { readonly from: number; readonly count: number; readonly numExtents: number },
): void {
  const { count } = at;
  if (count === 0) return;
  const numBins = order.start.length - 1;
  const lows = new Float32Array(numBins * count).fill(Infinity);
  const highs = new Float32Array(numBins * count).fill(-Infinity);
  for (let bin = 0; bin < numBins; bin++) {
    const base = bin * count;
    for (let k = order.start[bin]!; k < order.start[bin + 1]!; k++) {
      const row = order.points[k]! * count;
      for (let d = 0; d < count; d++) {
        const v = projections[row + d]!;
        if (v < lows[base + d]!) lows[base + d] = v;
        if (v > highs[base + d]!) highs[base + d] = v;
      }
    }
  }
  const low = new Float32Array(count);
  const high = new Float32Array(count);
  for (const side of [0, 1] as const) {
    low.fill(Infinity);
    high.fill(-Infinity);
    for (let step = 0; step < numBins - 1; step++) {
      const bin = side === 0 ? step : numBins - 1 - step;
      const base = bin * count;
      const out = (side === 0 ? bin : bin - 1) * at.numExtents + at.from;
      for (let d = 0; d < count; d++) {
        if (lows[base + d]! < low[d]!) low[d] = lows[base + d]!;
        if (highs[base + d]! > high[d]!) high[d] = highs[base + d]!;
        extents[side][out + d] = high[d]! - low[d]!;
      }
    }
  }
}
