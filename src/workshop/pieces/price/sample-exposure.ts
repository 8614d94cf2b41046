// Exposure of the samples of a shell: a few points each, fewer where the inside is plain.
import { evenRuns, runShares } from '../../../base/shares.ts';
import { partOfWork, type Share, type Work } from '../../../base/work.ts';
import { type Exposure, exposure } from '../../../geometry/exposure.ts';
import type { PatchPoints } from '../../../geometry/patch-points.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { type BoundingTree, withOwnRoom } from '../../../mesh/bounding-tree.ts';
import { NONE } from '../../../mesh/mesh.ts';
import type { Viewers } from '../../process/viewers.ts';
import { LOOKED_FROM, viewWeights } from './view-weights.ts';

export interface SampleExposure {
  /** 0 to 1. */
  readonly open: Float64Array;
  /** Samples x weights. */
  readonly weighted: Float64Array;
  /** Samples x rays of a sample: sample met by each ray, or NONE. */
  readonly met: Int32Array;
}

export interface SampleLooks {
  /** Points on a sample, and rays from each. */
  readonly perSample: number;
  readonly numRays: number;
  readonly liftMm: number;
  readonly viewers: Viewers;
}

interface Exposed extends Exposure {
  /** Points of the range x rays: triangle met by each ray, or NONE. */
  readonly hits: Int32Array;
}

/** A range of points; that of a point is the same in any range. */
export const exposureShare: Share<
  { readonly tree: BoundingTree; readonly at: PatchPoints; readonly looks: SampleLooks },
  { readonly from: number; readonly to: number },
  Exposed
> = {
  name: 'exposure of points',
  run({ tree, at, looks }, range, work) {
    const hits = new Int32Array((range.to - range.from) * looks.numRays);
    const { numRays, liftMm } = looks;
    const rule = { numRays, liftMm, weights: viewWeights(looks.viewers), ...range, hits };
    return { ...exposure(withOwnRoom(tree), at, work, rule), hits };
  },
};

/** Ranges in which points are handed out: enough that threads which begin late or are slow do not keep the others waiting. */
const NUM_RANGES = 24;

/** The first point of every sample, then the others of those that are not clearly inside. at: perSample points a sample; opposite: per
 *  sample the one across its wall, or NONE. Cost: samples x perSample x numRays rays at most, about two thirds of them on a helmet. */
export function sampleExposure(
  tree: BoundingTree,
  of: { readonly samples: SurfaceSamples; readonly at: PatchPoints; readonly opposite: Int32Array },
  work: Work,
  looks: SampleLooks,
): SampleExposure {
  const { samples, at, opposite } = of;
  const { perSample, numRays } = looks;
  const width = LOOKED_FROM.length;
  const exposed = (points: Uint32Array, part: Work): Exposed => {
    const ranges = evenRuns(points.length, NUM_RANGES);
    const all = runShares(part, exposureShare, { tree, at: pointsAt(at, points), looks }, ranges);
    return {
      open: joined(
        Float64Array,
        points.length,
        all.map(({ open }) => open),
      ),
      weighted: joined(
        Float64Array,
        points.length * width,
        all.map(({ weighted }) => weighted),
      ),
      hits: joined(
        Int32Array,
        points.length * numRays,
        all.map(({ hits }) => hits),
      ),
    };
  };
  const firsts = Uint32Array.from({ length: samples.num }, (_, i) => i * perSample);
  const first = exposed(firsts, partOfWork(work, 0, 1 / perSample));
  const others: number[] = [];
  for (let i = 0; i < samples.num; i++) {
    const other = opposite[i]!;
    if (other !== NONE && first.open[i]! <= CLOSED && first.open[other]! >= first.open[i]! + MORE_OPEN) continue;
    for (let k = 1; k < perSample; k++) others.push(i * perSample + k);
  }
  const rest = exposed(Uint32Array.from(others), partOfWork(work, 1 / perSample, 1));
  const open = new Float64Array(samples.num);
  const weighted = new Float64Array(samples.num * width);
  const met = new Int32Array(samples.num * perSample * numRays);
  let next = 0;
  for (let i = 0; i < samples.num; i++) {
    const isWhole = others[next] === i * perSample + 1;
    for (let k = 0; k < perSample; k++) {
      // what was looked at once stands for all
      const [from, j] = k === 0 || !isWhole ? [first, i] : [rest, next++];
      open[i] = open[i]! + from.open[j]! / perSample;
      for (let w = 0; w < width; w++)
        weighted[i * width + w] = weighted[i * width + w]! + from.weighted[j * width + w]! / perSample;
      for (let r = 0; r < numRays; r++) {
        const tri = from.hits[j * numRays + r]!;
        met[(i * perSample + k) * numRays + r] = tri === NONE ? NONE : samples.triSample[tri]!;
      }
    }
  }
  return { open, weighted, met };
}

/** Openness of a first point up to which its sample may be clearly inside, and by how much the other side of the wall is then more open. */
const CLOSED = 0.2;
const MORE_OPEN = 0.4;

function pointsAt({ points, normals }: PatchPoints, which: Uint32Array): PatchPoints {
  const out = { points: new Float64Array(which.length * 3), normals: new Float64Array(which.length * 3) };
  for (let i = 0; i < which.length; i++) {
    const from = which[i]! * 3;
    out.points.set(points.subarray(from, from + 3), i * 3);
    out.normals.set(normals.subarray(from, from + 3), i * 3);
  }
  return out;
}

function joined<A extends Float64Array | Int32Array>(
  made: new (length: number) => A,
  length: number,
  runs: readonly A[],
): A {
  const out = new made(length);
  let at = 0;
  for (const run of runs) {
    out.set(run, at);
    at += run.length;
  }
  return out;
}
