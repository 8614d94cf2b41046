// Which surface is outside and how much of it is looked at, from where: what makes a millimetre of seam dear or cheap.
import { partOfWork, type Work } from '../../../base/work.ts';
import { type DirectionWeight, freeExposure } from '../../../geometry/exposure.ts';
import { evenDirections } from '../../../geometry/half-sphere-directions.ts';
import { patchPoints } from '../../../geometry/patch-points.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { type BoundingTree, buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { type Mesh, NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { lookedFrom, Viewers } from '../../process/viewers.ts';
import { sampleExposure } from './sample-exposure.ts';
import { LOOKED_FROM, viewWeights } from './view-weights.ts';
import { oppositeSides, outerSides } from './wall-sides.ts';

/** Normals of the faces that are turned to each of LOOKED_FROM. */
const FACING: readonly Vec3[] = [
  [0, -1, 0],
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
  [0, 0, -1],
];

export interface OutsideView {
  /** Per sample, 1 on the outside. */
  readonly isOuter: Uint8Array;
  /** Per sample, 0 to 1: how much it is looked at; 1 is a face in full view of the weightiest viewers, 0 inside. */
  readonly seen: Float64Array;
  /** Samples x 5: what each of LOOKED_FROM adds to `seen`; known inside as well. */
  readonly from: Float64Array;
  /** 5: the most that each of LOOKED_FROM can add, which is to a free face turned to it. */
  readonly mostFrom: Float64Array;
  /** 2 x n samples: both sides of the same wall. */
  readonly acrossWall: readonly number[];
}

export interface ViewOptions {
  readonly viewers: Viewers;
  /** Points on a sample, and rays from each. */
  readonly perSample: number;
  readonly numRays: number;
  /** That of the mesh, when there is one already. */
  readonly tree?: BoundingTree;
}

export const VIEW_DEFAULTS: ViewOptions = {
  viewers: Viewers.parse({}),
  perSample: 4,
  numRays: 10,
};

/** Exposure of a few points on each sample (docs/methods/exposure.md): the share of rays that leaves the model is its openness, the
 *  same share weighted by `lookedFrom` is how much it is seen. Of the two sides of a wall the more open one is outside, and both are
 *  when what they do not see past is outside too (a brim): the inside of a helmet sees out through the neck and the eye opening, so no
 *  bare threshold would tell them apart. One pass of smoothing over neighbours that face alike.
 *  Cost: samples x (perSample x numRays + 1) rays and the tree; on what is clearly inside a share of 1 / perSample of them.
 *  Same seed, same answer. */
export function outsideView(
  mesh: Mesh,
  samples: SurfaceSamples,
  work: Work,
  options: ViewOptions = VIEW_DEFAULTS,
): OutsideView {
  const tree = options.tree ?? buildBoundingTree(mesh);
  const liftMm = LIFT * samples.spacingMm;
  const at = patchPoints(mesh, samples, options.perSample, work.seed);
  const wall = oppositeSides(tree, samples, at, { liftMm, perSample: options.perSample });
  const looks = { perSample: options.perSample, numRays: options.numRays, liftMm, viewers: options.viewers };
  const seen = sampleExposure(tree, { samples, at, opposite: wall.thin }, partOfWork(work, 0, 0.95), looks);
  const isOuter = outerSides(samples, { open: seen.open, opposite: wall.thin, met: seen.met });
  const most = fullView(options.viewers);
  const from = seen.weighted.map((sum) => (most > 0 ? sum / most : 0));
  const acrossWall: number[] = [];
  for (let i = 0; i < samples.num; i++)
    if (wall.any[i]! !== NONE && wall.any[i]! !== i) acrossWall.push(i, wall.any[i]!);
  const mostFrom = Float64Array.from(viewWeights(options.viewers), (weight, k) =>
    most > 0 ? freeExposure(FACING[k]!, weight) / most : 0,
  );
  return { isOuter, seen: seenOf(from, isOuter), from, mostFrom, acrossWall };
}

/** Rays start this share of a spacing above the surface. */
const LIFT = 0.02;

/** Weighted exposure of a free flat face that is looked at most. */
function fullView(viewers: Viewers): number {
  const weight: DirectionWeight = (x, y, z) => lookedFrom(viewers, x, y, z);
  let most = 0;
  for (const [x, y, z] of evenDirections(3)) {
    most = Math.max(most, freeExposure([x, y, z], weight), freeExposure([-x, -y, -z], weight));
  }
  return most;
}

function seenOf(from: Float64Array, isOuter: Uint8Array): Float64Array {
  const width = LOOKED_FROM.length;
  return Float64Array.from(isOuter, (outer, i) => {
    let sum = 0;
    for (let k = i * width; k < (i + 1) * width; k++) sum += from[k]!;
    return outer === 1 ? Math.min(1, sum) : 0;
  });
}
