// One pass over a part's samples gives, for every offset of a plane of one direction, what a cut there would mean:
// length of seam, grazing surface, area, and the extents of both sides along many directions.
import type { Vec3 } from '../mesh/mesh.ts';
import type { SurfaceSamples } from './surface-samples.ts';

/** The samples of one part with their projections on the directions along which extents are asked. */
export interface SweptPart {
  readonly samples: Int32Array;
  readonly numDirections: number;
  /** numDirections x numSamples. */
  readonly projections: Float32Array;
}

export function sweptPart(all: SurfaceSamples, samples: Int32Array, directions: Float64Array): SweptPart {
  const numDirections = directions.length / 3;
  const projections = new Float32Array(numDirections * samples.length);
  projectOn(all, samples, directions, projections);
  return { samples, numDirections, projections };
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
  /** [side][plane x (numDirections + numOwn)]: extents, mm. Own directions follow the part's. */
  readonly extents: readonly [Float64Array, Float64Array];
}

export interface SweepOptions {
  readonly stepMm: number;
  /** Width of the strip beside a plane in which grazing surface counts. */
  readonly grazingMm: number;
  /** numOwn x 3: further directions for extents, of this plane direction only. */
  readonly own: Float64Array;
}

/** Sweeps a plane of direction `normal` through a part.
 *  Method: by the coarea formula the section length L(d) obeys  integral L dd = integral over the surface of sqrt(1 - (n.N)^2) dA,
 *  so a sample of area a adds a * sqrt(1 - (n.N)^2) spread over the sample's own width. Extents: minimum and maximum per bin,
 *  then running from both ends. Cost: numSamples x directions. Space: that of the samples. */
export function sweepPlanes(
  all: SurfaceSamples,
  part: SweptPart,
  weight: Float64Array,
  at: { readonly normal: Vec3; readonly options: SweepOptions },
): PlaneSweep {
  const { normal, options } = at;
  const own = new Float32Array((options.own.length / 3) * part.samples.length);
  projectOn(all, part.samples, options.own, own);
  const along = new Float64Array(part.samples.length);
  const range = alongNormal(all, part.samples, normal, along);
  const step = options.stepMm;
  const numBins = Math.max(1, Math.ceil((range.high - range.low) / step));
  const first = range.low + (range.high - range.low - numBins * step) / 2;
  const bins = new Int32Array(along.length);
  for (let i = 0; i < along.length; i++) {
    bins[i] = Math.min(numBins - 1, Math.max(0, Math.floor((along[i]! - first) / step)));
  }
  const num = numBins - 1;
  const sums = binSums(all, part.samples, weight, {
    normal,
    along,
    bins,
    numBins,
    first,
    step,
    grazing: options.grazingMm,
  });
  const numDirections = part.numDirections + options.own.length / 3;
  const extents: [Float64Array, Float64Array] = [
    new Float64Array(num * numDirections),
    new Float64Array(num * numDirections),
  ];
  const lows = new Float64Array(numBins);
  const highs = new Float64Array(numBins);
  for (let d = 0; d < numDirections; d++) {
    const isOwn = d >= part.numDirections;
    const source = isOwn ? own : part.projections;
    const from = (isOwn ? d - part.numDirections : d) * along.length;
    binExtents(source, from, bins, { lows, highs });
    runningExtents(lows, highs, extents, { d, numDirections });
  }
  return { normal, num, firstMm: first + step, stepMm: step, ...sums, extents };
}

function projectOn(all: SurfaceSamples, samples: Int32Array, directions: Float64Array, out: Float32Array): void {
  const p = all.points;
  const count = samples.length;
  for (let d = 0; d < directions.length / 3; d++) {
    const x = directions[d * 3]!;
    const y = directions[d * 3 + 1]!;
    const z = directions[d * 3 + 2]!;
    const row = d * count;
    for (let i = 0; i < count; i++) {
      const s = samples[i]! * 3;
      out[row + i] = p[s]! * x + p[s + 1]! * y + p[s + 2]! * z;
    }
  }
}

function alongNormal(
  all: SurfaceSamples,
  samples: Int32Array,
  normal: Vec3,
  out: Float64Array,
): { low: number; high: number } {
  let low = Infinity;
  let high = -Infinity;
  const p = all.points;
  for (let i = 0; i < samples.length; i++) {
    const s = samples[i]! * 3;
    const d = p[s]! * normal[0] + p[s + 1]! * normal[1] + p[s + 2]! * normal[2];
    out[i] = d;
    if (d < low) low = d;
    if (d > high) high = d;
  }
  return { low, high };
}

interface Binning {
  readonly normal: Vec3;
  readonly along: Float64Array;
  readonly bins: Int32Array;
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

function binSums(all: SurfaceSamples, samples: Int32Array, weight: Float64Array, b: Binning): BinSums {
  const num = b.numBins - 1;
  // differences: a box of height h from plane i to plane j is +h at i and -h after j; a running sum then fills the boxes
  const seam = new Float64Array(num + 2);
  const line = new Float64Array(num + 2);
  const grazing = new Float64Array(num + 2);
  const area = new Float64Array(b.numBins);
  const weighed = new Float64Array(b.numBins);
  const [nx, ny, nz] = b.normal;
  for (let i = 0; i < samples.length; i++) {
    const s = samples[i]!;
    const facing = nx * all.normals[s * 3]! + ny * all.normals[s * 3 + 1]! + nz * all.normals[s * 3 + 2]!;
    const across = Math.sqrt(Math.max(0, 1 - facing * facing));
    const a = all.areaMm2[s]!;
    const bin = b.bins[i]!;
    area[bin] = area[bin]! + a;
    weighed[bin] = weighed[bin]! + a * weight[s]!;
    const width = Math.max(b.step, all.spacingMm * across);
    const centre = (b.along[i]! - b.first) / b.step - 1;
    const half = width / (2 * b.step);
    addBox(seam, centre, half, (a * across * weight[s]!) / width);
    addBox(line, centre, half, (a * across) / width);
    if (Math.abs(facing) > 0.9) addBox(grazing, centre, Math.max(0.5, b.grazing / b.step), a);
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

function binExtents(
  source: Float32Array,
  from: number,
  bins: Int32Array,
  out: { lows: Float64Array; highs: Float64Array },
): void {
  const { lows, highs } = out;
  lows.fill(Infinity);
  highs.fill(-Infinity);
  for (let i = 0; i < bins.length; i++) {
    const v = source[from + i]!;
    const bin = bins[i]!;
    if (v < lows[bin]!) lows[bin] = v;
    if (v > highs[bin]!) highs[bin] = v;
  }
}

function runningExtents(
  lows: Float64Array,
  highs: Float64Array,
  extents: readonly [Float64Array, Float64Array],
  at: { d: number; numDirections: number },
): void {
  const num = lows.length - 1;
  let low = Infinity;
  let high = -Infinity;
  for (let k = 0; k < num; k++) {
    if (lows[k]! < low) low = lows[k]!;
    if (highs[k]! > high) high = highs[k]!;
    extents[0][k * at.numDirections + at.d] = high - low;
  }
  low = Infinity;
  high = -Infinity;
  for (let k = num; k > 0; k--) {
    if (lows[k]! < low) low = lows[k]!;
    if (highs[k]! > high) high = highs[k]!;
    extents[1][(k - 1) * at.numDirections + at.d] = high - low;
  }
}
