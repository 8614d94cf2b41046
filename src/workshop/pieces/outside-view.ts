// Which surface is outside and how much of it is looked at: what makes a millimetre of seam dear or cheap.
import { randomStream } from '../../base/random.ts';
import type { Work } from '../../base/work.ts';
import { planeFrame } from '../../geometry/plane.ts';
import type { SurfaceSamples } from '../../geometry/surface-patches.ts';
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { type Mesh, NONE, type Vec3 } from '../../mesh/mesh.ts';
import { raycast, rayHitsAny } from '../../mesh/ray.ts';

export interface OutsideView {
  /** Per sample, 1 on the outside. */
  readonly isOuter: Uint8Array;
  /** Per sample, 0 to 1: how much it is looked at; 0 inside. */
  readonly seen: Float64Array;
  /** 2 x n samples: both sides of the same wall. */
  readonly acrossWall: readonly number[];
}

/** How much people look from this direction (unit, towards the viewer): they stand in front, less at the sides and behind, few
 *  look from above and hardly any from below. Common practice, no source. Model space: front is -y. */
export function lookedFrom(x: number, y: number, z: number): number {
  const level = Math.hypot(x, y);
  const front = level > 0 ? -y / level : 0;
  const around = front >= 0 ? 0.7 + 0.3 * front : 0.7 + 0.2 * front;
  return level * around + (1 - level) * (z >= 0 ? 0.45 : 0.05);
}

export const VIEW_DEFAULTS = { numRays: 20, openShare: 0.4 } as const;

/** Rays from each sample into the half space before it, cosine-weighted: the share that leaves the model is its openness, the same
 *  share weighted by `lookedFrom` is how much it is seen. Of the two sides of a wall the more open one is outside, and both are
 *  when both are open (a brim): the inside of a helmet sees out through the neck and the eye opening, so no bare threshold
 *  would tell them apart. One pass of smoothing over neighbours that face alike.
 *  Cost: samples x (numRays + 1) rays and the tree, about 0.5 s at 200,000 triangles. Standard error of a sample's view: at most
 *  0.5 / sqrt(numRays); sums along a seam are far better. Same seed, same answer. */
export function outsideView(
  mesh: Mesh,
  samples: SurfaceSamples,
  work: Work,
  options: { numRays: number; openShare: number } = VIEW_DEFAULTS,
): OutsideView {
  const tree = buildBoundingTree(mesh);
  const open = new Float64Array(samples.num);
  const looked = new Float64Array(samples.num);
  const opposite = new Int32Array(samples.num).fill(NONE);
  const random = randomStream(work.seed);
  const lift = 0.02 * samples.spacingMm;
  for (let i = 0; i < samples.num; i++) {
    if ((i & 255) === 0) work.tick(i / samples.num, 'looking from outside');
    const n: Vec3 = [samples.normals[i * 3]!, samples.normals[i * 3 + 1]!, samples.normals[i * 3 + 2]!];
    const from = liftedPoint(samples, i, n, lift);
    const { u, v } = planeFrame(n);
    const turn = random();
    for (let k = 0; k < options.numRays; k++) {
      const r = Math.sqrt((k + 0.5) / options.numRays);
      const angle = 2 * Math.PI * (k * GOLDEN + turn);
      const d = lobe(n, u, v, { across: r * Math.cos(angle), along: r * Math.sin(angle), out: Math.sqrt(1 - r * r) });
      if (rayHitsAny(tree, from, d)) continue;
      open[i] = open[i]! + 1 / options.numRays;
      looked[i] = looked[i]! + lookedFrom(d[0], d[1], d[2]) / options.numRays;
    }
    const hit = raycast(tree, liftedPoint(samples, i, n, -lift), [-n[0], -n[1], -n[2]]);
    if (hit !== null && isLeft(samples, samples.triSample[hit.tri]!, n)) opposite[i] = samples.triSample[hit.tri]!;
  }
  const isOuter = smoothed(samples, sidesOf(open, opposite, options.openShare));
  const acrossWall: number[] = [];
  for (let i = 0; i < samples.num; i++)
    if (opposite[i]! !== NONE && opposite[i]! !== i) acrossWall.push(i, opposite[i]!);
  return {
    isOuter,
    seen: looked.map((share, i) => (isOuter[i] === 1 ? Math.min(1, share * FULL_VIEW) : 0)),
    acrossWall,
  };
}

const GOLDEN = 0.6180339887498949;
/** A face in full view from the front reaches about 0.8 of the rays' weight: brought up to 1. */
const FULL_VIEW = 1.25;

/** Whether a ray against `n` leaves the solid at this sample. Where it enters, the ray had set out beside a part thinner than a sample, and
 *  what it met is another part of the shell. */
function isLeft(samples: SurfaceSamples, at: number, n: Vec3): boolean {
  const { normals } = samples;
  return normals[at * 3]! * n[0] + normals[at * 3 + 1]! * n[1] + normals[at * 3 + 2]! * n[2] < 0;
}

function liftedPoint(samples: SurfaceSamples, i: number, n: Vec3, lift: number): Vec3 {
  const p = samples.points;
  return [p[i * 3]! + lift * n[0], p[i * 3 + 1]! + lift * n[1], p[i * 3 + 2]! + lift * n[2]];
}

function lobe(n: Vec3, u: Vec3, v: Vec3, at: { across: number; along: number; out: number }): Vec3 {
  return [
    at.across * u[0] + at.along * v[0] + at.out * n[0],
    at.across * u[1] + at.along * v[1] + at.out * n[1],
    at.across * u[2] + at.along * v[2] + at.out * n[2],
  ];
}

/** Near the neck the inside is open too, but half as much as the outside across the wall. */
const BOTH_OPEN = 0.6;

function sidesOf(open: Float64Array, opposite: Int32Array, openShare: number): Uint8Array {
  return Uint8Array.from(open, (share, i) => {
    const other = opposite[i]! === NONE ? 0 : open[opposite[i]!]!;
    return (share >= openShare && share >= BOTH_OPEN * other) || (share > 0.05 && share > other) ? 1 : 0;
  });
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
