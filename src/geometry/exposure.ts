// How open the surface is at a point: the share of the half space before it that nothing of the model stands in.
import { randomStream } from '../base/random.ts';
import type { Work } from '../base/work.ts';
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { NONE, type Vec3 } from '../mesh/mesh.ts';
import { raycast, rayHitsAny } from '../mesh/ray.ts';
import { planeFrame } from './plane.ts';

/** What a free direction (unit, away from the surface) is worth. */
export type DirectionWeight = (x: number, y: number, z: number) => number;

export interface ExposedPoints {
  /** num x 3, mm, on the surface of the tree's mesh. */
  readonly points: Float64Array;
  /** num x 3, unit, outward. */
  readonly normals: Float64Array;
}

export interface ExposureOptions {
  readonly numRays: number;
  /** Rays start so far above the surface, mm: more than rounding, less than any detail. */
  readonly liftMm: number;
  /** Each gives one more sum over the same rays. */
  readonly weights: readonly DirectionWeight[];
  /** Points from .. to - 1 only; all by default. The answer for a point is the same in any range. */
  readonly from?: number;
  readonly to?: number;
  /** Points of the range x numRays: filled with the triangle each ray meets first, NONE where it is free. Takes about half as long again. */
  readonly hits?: Int32Array;
}

export interface Exposure {
  /** Per point of the range, 0 to 1: cosine-weighted share of the half space that is free. */
  readonly open: Float64Array;
  /** Points of the range x weights: the same share, each free direction counted by its weight. */
  readonly weighted: Float64Array;
}

/** Cosine-weighted rays from every point: E = 1/pi times the integral of free(w) weight(w) max(0, n.w) dw. Every point draws its chance
 *  from the seed and its own index, so that any share of the points computed anywhere gives the same bytes.
 *  Unbiased; standard error at most sqrt(E (1 - E) / numRays), less in practice: the rays of a point are spread in rings, turned and
 *  shifted together. Cost: numRays rays a point. Method: docs/methods/exposure.md. Weak: thin things far away fall between rays. */
export function exposure(tree: BoundingTree, at: ExposedPoints, work: Work, options: ExposureOptions): Exposure {
  const { numRays, liftMm, weights, hits, from = 0, to = at.points.length / 3 } = options;
  const num = to - from;
  const open = new Float64Array(num);
  const weighted = new Float64Array(num * weights.length);
  for (let i = 0; i < num; i++) {
    if ((i & 63) === 0) work.tick(i / num, 'looking from outside');
    const o = (from + i) * 3;
    const n: Vec3 = [at.normals[o]!, at.normals[o + 1]!, at.normals[o + 2]!];
    const start: Vec3 = [
      at.points[o]! + liftMm * n[0],
      at.points[o + 1]! + liftMm * n[1],
      at.points[o + 2]! + liftMm * n[2],
    ];
    const { u, v } = planeFrame(n);
    const random = randomStream(seedOf(work.seed, from + i));
    const shift = random();
    const turn = random();
    let free = 0;
    for (let k = 0; k < numRays; k++) {
      const r2 = (k + shift) / numRays;
      const r = Math.sqrt(r2);
      const out = Math.sqrt(1 - r2);
      const angle = 2 * Math.PI * (k * GOLDEN + turn);
      const a = r * Math.cos(angle);
      const b = r * Math.sin(angle);
      const x = a * u[0] + b * v[0] + out * n[0];
      const y = a * u[1] + b * v[1] + out * n[1];
      const z = a * u[2] + b * v[2] + out * n[2];
      if (hits === undefined) {
        if (rayHitsAny(tree, start, [x, y, z])) continue;
      } else {
        const hit = raycast(tree, start, [x, y, z]);
        hits[i * numRays + k] = hit === null ? NONE : hit.tri;
        if (hit !== null) continue;
      }
      free++;
      for (let w = 0; w < weights.length; w++) {
        const sum = i * weights.length + w;
        weighted[sum] = weighted[sum]! + weights[w]!(x, y, z) / numRays;
      }
    }
    open[i] = free / numRays;
  }
  return { open, weighted };
}

/** What `weight` sums to over the free half space before a flat face with this normal (unit). Cost: 400 evaluations; error some
 *  thousandths for a weight without jumps. */
export function freeExposure(normal: Vec3, weight: DirectionWeight): number {
  const { u, v } = planeFrame(normal);
  let sum = 0;
  for (let k = 0; k < FREE_RAYS; k++) {
    const r2 = (k + 0.5) / FREE_RAYS;
    const out = Math.sqrt(1 - r2);
    const angle = 2 * Math.PI * k * GOLDEN;
    const a = Math.sqrt(r2) * Math.cos(angle);
    const b = Math.sqrt(r2) * Math.sin(angle);
    sum += weight(
      a * u[0] + b * v[0] + out * normal[0],
      a * u[1] + b * v[1] + out * normal[1],
      a * u[2] + b * v[2] + out * normal[2],
    );
  }
  return sum / FREE_RAYS;
}

const FREE_RAYS = 400;
const GOLDEN = 0.6180339887498949;

/** Seeds of neighbouring points differ in all bits. */
function seedOf(seed: number, index: number): number {
  let h = Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(index + 1, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return (h ^ (h >>> 15)) >>> 0;
}
