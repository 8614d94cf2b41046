// Exposure of the samples of a shell: a few points each, fewer where the inside is plain.
import { partOfWork, type Work } from '../../../base/work.ts';
import { type DirectionWeight, exposure } from '../../../geometry/exposure.ts';
import type { PatchPoints } from '../../../geometry/patch-points.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import type { BoundingTree } from '../../../mesh/bounding-tree.ts';
import { NONE } from '../../../mesh/mesh.ts';

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
  readonly weights: readonly DirectionWeight[];
}

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
  const width = looks.weights.length;
  const exposed = (points: Uint32Array, part: Work) => {
    const hits = new Int32Array(points.length * numRays);
    return { ...exposure(tree, pointsAt(at, points), part, { ...looks, hits }), hits };
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
