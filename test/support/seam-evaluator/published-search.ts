// A published search as it stands, to compare with: beam search over planes, Luo, Baran, Rusinkiewicz and Matusik 2012
// (doi 10.1145/2366145.2366148), on the evaluator's own samples. What is left out and why stands in docs/methods/seam-evaluator.md.
import { fitsSomehow, type Size } from './fit.ts';
import { type CutDivision, cutByPlanes, type PlaneTree, withoutCrumbs } from './plane-division.ts';
import type { PricedModel } from './priced-model.ts';
import { boxesOf, boxesOnSides, halfSphere, heightOf, SAMPLE_MM, STEP_MM, type Way } from './published-boxes.ts';
import { partAreas, partsOf, type Samples, samplesOf } from './samples.ts';

/** As published: weights of parts, utilisation, seam, symmetry; beam; when two planes differ. */
const WEIGHTS = { part: 1, utilisation: 0.25, seam: 0.1, symmetry: 0.25 };
const BEAM = 4;
const DIFFERENT_SHARE = 0.1;
const DIFFERENT_COSINE = Math.cos(0.1 * Math.PI);
/** A face that lies nearly in the plane with the other side of its wall so near leaves a sliver, mm: 1.5 connectors of 5 mm. */
const SLIVER_MM = 7.5;
const SLIVER_COSINE = 0.95;
const MOST_CUTS = 24;
/** Best planes of a part that are looked at for difference. */
const LOOKED_AT = 200;

interface Leaf {
  readonly path: string;
  readonly samples: Int32Array;
  readonly boxes: number;
  readonly volume: number;
  readonly fits: boolean;
}

interface State {
  readonly cuts: ReadonlyMap<string, { readonly normal: Way; readonly offsetMm: number }>;
  readonly leaves: readonly Leaf[];
  readonly seamMm: number;
  readonly symmetry: number;
  readonly score: number;
}

interface Candidate {
  readonly normal: Way;
  readonly offsetMm: number;
  readonly seamMm: number;
  readonly symmetry: number;
  readonly score: number;
}

interface About {
  readonly model: PricedModel;
  readonly samples: Samples;
  /** Price of each sample's outside. */
  readonly prices: Float64Array;
  readonly size: Size;
  readonly normals: readonly Way[];
  readonly estimateMm: number;
  readonly rootBoxes: number;
  readonly diagonalMm: number;
}

/** estimateMm: what all seams together may be taken to cost, for the share that the seams have in the score. */
export function publishedDivision(
  model: PricedModel,
  size: Size,
  { estimateMm }: { readonly estimateMm: number },
): CutDivision {
  const samples = samplesOf(model, SAMPLE_MM);
  const all = Int32Array.from(samples.areas, (_, s) => s);
  const about: About = {
    model,
    samples,
    prices: pricesOf(model, samples),
    size,
    normals: halfSphere(),
    estimateMm: Math.max(1, estimateMm),
    rootBoxes: Math.max(1, boxesOf(samples, all, size)),
    diagonalMm: Math.hypot(...size),
  };
  const root = leafOf(about, '', all);
  let beam: State[] = [{ cuts: new Map(), leaves: [root], seamMm: 0, symmetry: 0, score: 0 }];
  for (let step = 0; step < MOST_CUTS && beam.some((state) => !isDone(state)); step++) {
    beam = beam
      .flatMap((state) => (isDone(state) ? [state] : cutLargest(about, state)))
      .sort((a, b) => a.score - b.score)
      .slice(0, BEAM);
  }
  const best = beam.find(isDone);
  if (best === undefined) throw new Error(`the published search found no division within ${MOST_CUTS} cuts`);
  return cutByPlanes(model, treeOf(best.cuts, ''), size);
}

const isDone = (state: State): boolean => state.leaves.every((leaf) => leaf.fits);

function treeOf(cuts: State['cuts'], path: string): PlaneTree | null {
  const cut = cuts.get(path);
  return cut === undefined ? null : { ...cut, below: treeOf(cuts, `${path}-`), above: treeOf(cuts, `${path}+`) };
}

function cutLargest(about: About, state: State): State[] {
  const unfit = state.leaves.filter((leaf) => !leaf.fits);
  const largest = unfit.reduce((best, leaf) => (leaf.boxes > best.boxes ? leaf : best));
  const rest = state.leaves.filter((leaf) => leaf !== largest);
  const candidates = about.normals.flatMap((normal) => planesAcross(about, { state, largest, rest, normal }));
  candidates.sort((a, b) => a.score - b.score);
  const kept: Candidate[] = [];
  for (const one of candidates.slice(0, LOOKED_AT)) {
    if (kept.length === BEAM) break;
    if (kept.every((other) => isDifferent(about, one, other))) kept.push(one);
  }
  return kept.map((one) => {
    const sides = [false, true].map((isAbove) =>
      leafOf(
        about,
        `${largest.path}${isAbove ? '+' : '-'}`,
        largest.samples.filter((s) => heightOf(about.samples, s, one.normal) >= one.offsetMm === isAbove),
      ),
    );
    const cuts = new Map(state.cuts).set(largest.path, { normal: one.normal, offsetMm: one.offsetMm });
    const leaves = [...rest, ...sides];
    const seamMm = state.seamMm + one.seamMm;
    const symmetry = state.symmetry + one.symmetry;
    return { cuts, leaves, seamMm, symmetry, score: scoreOf(about, { leaves, seamMm, symmetry, cuts: cuts.size }) };
  });
}

function isDifferent(about: About, a: Candidate, b: Candidate): boolean {
  const cosine = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  return (
    Math.abs(cosine) < DIFFERENT_COSINE ||
    Math.abs(a.offsetMm - Math.sign(cosine) * b.offsetMm) > DIFFERENT_SHARE * about.diagonalMm
  );
}

function scoreOf(
  about: About,
  of: {
    readonly leaves: readonly Pick<Leaf, 'boxes' | 'volume'>[];
    readonly seamMm: number;
    readonly symmetry: number;
    readonly cuts: number;
  },
): number {
  const [w, d, h] = about.size;
  let [boxes, empty] = [0, 0];
  for (const leaf of of.leaves) {
    boxes += leaf.boxes;
    empty = Math.max(empty, 1 - leaf.volume / (leaf.boxes * w * d * h));
  }
  return (
    (WEIGHTS.part * boxes) / about.rootBoxes +
    WEIGHTS.utilisation * empty +
    (WEIGHTS.seam * of.seamMm) / about.estimateMm +
    (WEIGHTS.symmetry * of.symmetry) / of.cuts
  );
}

/** All offsets of one direction at once. */
function planesAcross(
  about: About,
  {
    state,
    largest,
    rest,
    normal,
  }: { readonly state: State; readonly largest: Leaf; readonly rest: readonly Leaf[]; readonly normal: Way },
): Candidate[] {
  const { samples } = about;
  const heights = Float64Array.from(largest.samples, (s) => heightOf(samples, s, normal));
  const low = heights.reduce((least, h) => Math.min(least, h), Infinity);
  const high = heights.reduce((most, h) => Math.max(most, h), -Infinity);
  const count = Math.floor((high - low) / STEP_MM);
  if (count < 1) return [];
  const seams = new Float64Array(count + 2);
  const slivers = new Uint8Array(count + 2);
  const volumes = new Float64Array(count + 2);
  for (const [i, s] of largest.samples.entries()) {
    const at = (heights[i]! - low) / STEP_MM;
    const bin = Math.floor(at);
    const cosine = Math.abs(
      samples.normals[3 * s]! * normal[0] +
        samples.normals[3 * s + 1]! * normal[1] +
        samples.normals[3 * s + 2]! * normal[2],
    );
    const line = (samples.areas[s]! * about.prices[s]! * Math.sqrt(Math.max(0, 1 - cosine * cosine))) / STEP_MM;
    seams[bin]! += line * (1 - (at - bin));
    seams[bin + 1]! += line * (at - bin);
    volumes[bin]! += volumeOf(samples, s);
    if (cosine > SLIVER_COSINE && samples.depthsMm[s]! < SLIVER_MM)
      for (const near of [bin, bin + 1]) if (Math.abs(at - near) * STEP_MM < SLIVER_MM) slivers[near] = 1;
  }
  const boxes = boxesOnSides(about, { part: largest.samples, heights, low, count, normal });
  const [w, d, h] = about.size;
  let whole = 0;
  for (const volume of volumes) whole += volume;
  let below = 0;
  const out: Candidate[] = [];
  const mirrored = mirrorGap(normal);
  for (let k = 1; k <= count; k++) {
    below += volumes[k - 1]!;
    if (slivers[k] === 1) continue;
    const offsetMm = low + k * STEP_MM;
    const sides = [
      { boxes: boxes.below[k]!, volume: below },
      { boxes: boxes.above[k]!, volume: whole - below },
    ];
    if (sides.some((side) => side.volume < 1e-3 * whole || side.volume > side.boxes * w * d * h)) continue;
    const symmetry = mirrored(offsetMm) / about.diagonalMm;
    out.push({
      normal,
      offsetMm,
      seamMm: seams[k]!,
      symmetry,
      score: scoreOf(about, {
        leaves: [...rest, ...sides],
        seamMm: state.seamMm + seams[k]!,
        symmetry: state.symmetry + symmetry,
        cuts: state.cuts.size + 1,
      }),
    });
  }
  return out;
}

/** How far a plane is from its mirror image at x = 0, over a bed: nothing for the mirror plane itself and for planes square to it. */
function mirrorGap(normal: Way): (offsetMm: number) => number {
  const [x] = normal;
  if (Math.abs(x) > 1 - 1e-6) return (offsetMm) => Math.abs(2 * offsetMm);
  return () => 2 * Math.abs(x) * 100;
}

/** Connected parts are counted one by one; crumbs are left to whoever cleans up. */
function leafOf(about: About, path: string, part: Int32Array): Leaf {
  const { samples, size } = about;
  const cells = new Int32Array(samples.areas.length).fill(-1);
  for (const s of part) cells[s] = 0;
  const names = partsOf(samples, cells);
  const areas = partAreas(samples, cells);
  areas.delete(-1);
  const kept = withoutCrumbs(areas);
  let [boxes, volume, fits] = [0, 0, true];
  const room: Size = [size[0] - SAMPLE_MM / 2, size[1] - SAMPLE_MM / 2, size[2] - SAMPLE_MM / 2];
  for (const name of kept) {
    const own = part.filter((s) => names[s] === name);
    const points = Float64Array.from([...own].flatMap((s) => [...samples.middles.subarray(3 * s, 3 * s + 3)]));
    const goesIn = fitsSomehow(points, room, about.normals);
    fits &&= goesIn;
    boxes += goesIn ? 1 : Math.max(2, boxesOf(samples, own, size));
    for (const s of own) volume += volumeOf(samples, s);
  }
  return { path, samples: part, boxes: Math.max(1, boxes), volume, fits };
}

/** Half the wall behind it. */
function volumeOf({ areas, depthsMm }: Samples, s: number): number {
  return (areas[s]! * Math.min(depthsMm[s]!, 400)) / 2;
}

/** The price of the triangle in the middle of each sample. */
function pricesOf(model: PricedModel, samples: Samples): Float64Array {
  return Float64Array.from(samples.areas, (_, s) => {
    const n = samples.normals.subarray(3 * s, 3 * s + 3);
    const from = [0, 1, 2].map((c) => samples.middles[3 * s + c]! + 3 * n[c]!);
    const hit = model.tree.first(from, [-n[0]!, -n[1]!, -n[2]!]);
    return hit === null ? 0 : model.price[hit.tri]!;
  });
}
