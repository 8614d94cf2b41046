// Which surface is outside and how much of it is looked at, from where: what makes a millimetre of seam dear or cheap.
import { partOfWork, type Work } from '../../base/work.ts';
import { type DirectionWeight, exposure, freeExposure } from '../../geometry/exposure.ts';
import { evenDirections } from '../../geometry/half-sphere-directions.ts';
import { type PatchPoints, patchPoints } from '../../geometry/patch-points.ts';
import type { SurfaceSamples } from '../../geometry/surface-patches.ts';
import { type BoundingTree, buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { type Mesh, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { raycast } from '../../mesh/ray.ts';
import { lookedFrom, Viewers } from '../process/viewers.ts';

/** From where the outside is looked at; the order of OutsideView.from. */
export const LOOKED_FROM = ['front', 'sides', 'back', 'above', 'below'] as const satisfies (keyof Viewers)[];

/** Normals of the faces that are turned to each. */
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
 *  Cost: samples x (perSample x numRays + 1) rays and the tree. Same seed, same answer. */
export function outsideView(
  mesh: Mesh,
  samples: SurfaceSamples,
  work: Work,
  options: ViewOptions = VIEW_DEFAULTS,
): OutsideView {
  const { perSample, numRays, viewers } = options;
  const tree = buildBoundingTree(mesh);
  const liftMm = LIFT * samples.spacingMm;
  const at = patchPoints(mesh, samples, perSample, work.seed);
  const weights = LOOKED_FROM.map((from) => weightOf(viewers, from));
  const hits = new Int32Array(samples.num * perSample * numRays);
  const seenAt = exposure(tree, at, partOfWork(work, 0, 0.95), { numRays, liftMm, weights, hits });
  const open = meanOver(seenAt.open, perSample, 1);
  const wall = oppositeSides(tree, samples, at, { liftMm, perSample });
  const met = hits.map((tri) => (tri === NONE ? NONE : samples.triSample[tri]!));
  const isOuter = smoothed(samples, sidesOf({ open, opposite: wall.thin, met }));
  const from = meanOver(seenAt.weighted, perSample, LOOKED_FROM.length);
  const most = fullView(viewers);
  for (let i = 0; i < from.length; i++) from[i] = most > 0 ? from[i]! / most : 0;
  const acrossWall: number[] = [];
  for (let i = 0; i < samples.num; i++)
    if (wall.any[i]! !== NONE && wall.any[i]! !== i) acrossWall.push(i, wall.any[i]!);
  const mostFrom = Float64Array.from(weights, (weight, k) => (most > 0 ? freeExposure(FACING[k]!, weight) / most : 0));
  return { isOuter, seen: seenOf(from, isOuter), from, mostFrom, acrossWall };
}

/** Rays start this share of a spacing above the surface. */
const LIFT = 0.02;

/** What one group of viewers adds to `lookedFrom`. */
function weightOf(viewers: Viewers, from: keyof Viewers): DirectionWeight {
  const alone: Viewers = { front: 0, sides: 0, back: 0, above: 0, below: 0, [from]: viewers[from] };
  return (x, y, z) => lookedFrom(alone, x, y, z);
}

/** Weighted exposure of a free flat face that is looked at most. */
function fullView(viewers: Viewers): number {
  const weight: DirectionWeight = (x, y, z) => lookedFrom(viewers, x, y, z);
  let most = 0;
  for (const [x, y, z] of evenDirections(3)) {
    most = Math.max(most, freeExposure([x, y, z], weight), freeExposure([-x, -y, -z], weight));
  }
  return most;
}

/** Values of the points of a sample, `width` numbers each, averaged. */
function meanOver(values: Float64Array, perSample: number, width: number): Float64Array {
  const out = new Float64Array(values.length / perSample);
  for (let i = 0; i < out.length; i++) {
    const first = ((i / width) | 0) * perSample * width + (i % width);
    for (let k = 0; k < perSample; k++) out[i] = out[i]! + values[first + k * width]! / perSample;
  }
  return out;
}

function seenOf(from: Float64Array, isOuter: Uint8Array): Float64Array {
  const width = LOOKED_FROM.length;
  return Float64Array.from(isOuter, (outer, i) => {
    let sum = 0;
    for (let k = i * width; k < (i + 1) * width; k++) sum += from[k]!;
    return outer === 1 ? Math.min(1, sum) : 0;
  });
}

/** Farther apart, two sides are not those of a wall but of a solid. */
const THICKEST_WALL_MM = 30;

/** Per sample, the sample on the other side, or NONE: at any distance, and no farther than a wall is thick. */
function oppositeSides(
  tree: BoundingTree,
  samples: SurfaceSamples,
  at: PatchPoints,
  by: { readonly liftMm: number; readonly perSample: number },
): { readonly any: Int32Array; readonly thin: Int32Array } {
  const any = new Int32Array(samples.num).fill(NONE);
  const thin = new Int32Array(samples.num).fill(NONE);
  for (let i = 0; i < samples.num; i++) {
    const o = i * by.perSample * 3;
    const inward: Vec3 = [-at.normals[o]!, -at.normals[o + 1]!, -at.normals[o + 2]!];
    const start: Vec3 = [
      at.points[o]! + by.liftMm * inward[0],
      at.points[o + 1]! + by.liftMm * inward[1],
      at.points[o + 2]! + by.liftMm * inward[2],
    ];
    const hit = raycast(tree, start, inward);
    if (hit === null) continue;
    const other = samples.triSample[hit.tri]!;
    if (!isLeft(samples, other, inward)) continue;
    any[i] = other;
    if (hit.t < THICKEST_WALL_MM) thin[i] = other;
  }
  return { any, thin };
}

/** Whether a ray inwards leaves the solid at this sample. Where it enters, the ray had set out beside a part thinner than a sample, and
 *  what it met is another part of the shell. */
function isLeft({ normals }: SurfaceSamples, at: number, inward: Vec3): boolean {
  return normals[at * 3]! * inward[0] + normals[at * 3 + 1]! * inward[1] + normals[at * 3 + 2]! * inward[2] > 0;
}

/** A side this much as open as the other is first taken for outside too: an ornament, a brim. */
const ALIKE = 0.6;
/** A side of a wall is outside when this share of its rays leaves the model or meets what is outside; the more open side of the two when
 *  fewer do. */
const OUTSIDE_SHARE = 0.8;
const MORE_OPEN_SHARE = 0.45;
const MOST_ROUNDS = 8;

interface Sides {
  readonly open: Float64Array;
  readonly opposite: Int32Array;
  /** Samples x rays of a sample: sample met by each ray, or NONE. */
  readonly met: Int32Array;
}

/** The more open side of each wall, then corrected by what the rays of a sample meet, until nothing changes: from under a brim they meet
 *  the neck's outside, from inside the neck the inside of the crown. What has no wall behind it is a solid, all of which is outside. */
function sidesOf({ open, opposite, met }: Sides): Uint8Array {
  const perSample = met.length / open.length;
  const out = Uint8Array.from(open, (share, i) => {
    const other = opposite[i]!;
    return other === NONE || share >= ALIKE * open[other]! ? 1 : 0;
  });
  for (let round = 0, changed = 1; round < MOST_ROUNDS && changed > 0; round++) {
    changed = 0;
    const before = out.slice();
    for (let i = 0; i < out.length; i++) {
      const other = opposite[i]!;
      if (other === NONE) continue;
      const least = open[i]! >= open[other]! ? MORE_OPEN_SHARE : OUTSIDE_SHARE;
      let outer = 0;
      for (let k = i * perSample; k < (i + 1) * perSample; k++) if (met[k] === NONE || before[met[k]!] === 1) outer++;
      const now = outer >= least * perSample ? 1 : 0;
      if (now === out[i]) continue;
      out[i] = now;
      changed++;
    }
  }
  return out;
}

function smoothed(samples: SurfaceSamples, isOuter: Uint8Array): Uint8Array {
  const { normals: n, areaMm2 } = samples;
  return isOuter.map((own, i) => {
    let outer = (own === 1 ? 1 : -1) * areaMm2[i]!;
    for (let k = samples.neighbourStart[i]!; k < samples.neighbourStart[i + 1]!; k++) {
      const j = samples.neighbours[k]!;
      const agree = n[i * 3]! * n[j * 3]! + n[i * 3 + 1]! * n[j * 3 + 1]! + n[i * 3 + 2]! * n[j * 3 + 2]!;
      if (agree > 0.5) outer += (isOuter[j] === 1 ? 1 : -1) * areaMm2[j]!;
    }
    return outer > 0 ? 1 : 0;
  });
}
