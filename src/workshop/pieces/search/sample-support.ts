// How much support a part would take, told from samples of its surface: what the search and the poses are weighed by.

import { evenDirections } from '../../../geometry/half-sphere-directions.ts';
import { frameDirections, layingFrames, roomLeft } from '../../../geometry/laying-frames.ts';
import { planeFrame } from '../../../geometry/plane.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import { NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { type DivisionTask, downsOf, EVERY_SAMPLE, extentAlong, type ProxyPart, reachPoints } from './proxy-part.ts';

/** Grams of support a cubic millimetre of column: 12 percent of it is plastic of 1.24 g/cm3, the ordinary print settings. */
export const SUPPORT_G_A_MM3 = 0.12 * 0.00124;

/** Steeper than 45 degrees from vertical hangs over. */
const OVERHANG = Math.SQRT1_2;
/** Samples looked at; of a larger part every second or third is taken. */
const MOST_SAMPLES = 360;
/** A part that is still to be cut takes about this share of its support in the end. */
const SHARE_AFTER_CUTS = 0.4;

/** Directions tried besides levels and mating faces. */
export const STANDING: readonly Vec3[] = evenDirections(1).flatMap((d): Vec3[] => [d, [-d[0], -d[1], -d[2]]]);

/** Volume between overhangs and what lies below them, mm3: each overhanging sample stands for a column of its own shadow, down to
 *  the highest sample facing up beneath it in the same cell of the bed, or to the bed. up: unit, model space.
 *  Cost: O(samples), about 40 ns each. Weak: cells are one and a half spacings wide, so edges of shadows are that uncertain. */
export function columnsUnder(all: SurfaceSamples, samples: Int32Array, up: Vec3): number {
  const stride = Math.ceil(samples.length / MOST_SAMPLES);
  const num = Math.ceil(samples.length / stride);
  const { u, v } = planeFrame(up);
  const cell = 1.5 * all.spacingMm * Math.sqrt(stride);
  const x = new Float64Array(num);
  const y = new Float64Array(num);
  const z = new Float64Array(num);
  const lean = new Float64Array(num);
  const { middles: p, normals: n, areaMm2 } = all;
  let lowX = Infinity;
  let lowY = Infinity;
  let lowZ = Infinity;
  let highX = -Infinity;
  let highY = -Infinity;
  for (let i = 0; i < num; i++) {
    const s = samples[i * stride]! * 3;
    x[i] = p[s]! * u[0] + p[s + 1]! * u[1] + p[s + 2]! * u[2];
    y[i] = p[s]! * v[0] + p[s + 1]! * v[1] + p[s + 2]! * v[2];
    z[i] = p[s]! * up[0] + p[s + 1]! * up[1] + p[s + 2]! * up[2];
    lean[i] = n[s]! * up[0] + n[s + 1]! * up[1] + n[s + 2]! * up[2];
    lowX = Math.min(lowX, x[i]!);
    lowY = Math.min(lowY, y[i]!);
    lowZ = Math.min(lowZ, z[i]!);
    highX = Math.max(highX, x[i]!);
    highY = Math.max(highY, y[i]!);
  }
  const numX = Math.floor((highX - lowX) / cell) + 1;
  const head = new Int32Array(numX * (Math.floor((highY - lowY) / cell) + 1)).fill(NONE);
  const next = new Int32Array(num);
  for (let i = 0; i < num; i++) {
    if (lean[i]! < 0.1) continue;
    const at = Math.floor((x[i]! - lowX) / cell) + numX * Math.floor((y[i]! - lowY) / cell);
    next[i] = head[at]!;
    head[at] = i;
  }
  let sum = 0;
  for (let i = 0; i < num; i++) {
    if (lean[i]! > -OVERHANG) continue;
    let floor = lowZ;
    const at = Math.floor((x[i]! - lowX) / cell) + numX * Math.floor((y[i]! - lowY) / cell);
    for (let k = head[at]!; k !== NONE; k = next[k]!) {
      if (z[k]! > floor && z[k]! < z[i]! - cell / 2) floor = z[k]!;
    }
    sum -= stride * areaMm2[samples[i * stride]!]! * lean[i]! * (z[i]! - floor);
  }
  return sum;
}

/** Grams of support the part takes in the best pose in which it fits; of a part still to be cut, a share of its best pose.
 *  Poses: mating faces and levels either way up, and 18 even directions for those tilted. Kept in `task.supports`. */
export function supportOf(task: DivisionTask, part: ProxyPart): number {
  const known = task.supports.get(part);
  if (known !== undefined) return known;
  const grams = part.need.pieces === 1 ? leastThatFits(task, part) : SHARE_AFTER_CUTS * standsOf(task, part)[0]!.grams;
  task.supports.set(part, grams);
  return grams;
}

function standsOf(task: DivisionTask, part: ProxyPart): { readonly up: Vec3; readonly grams: number }[] {
  const ups = [...STANDING];
  for (const down of downsOf(part)) {
    if (ups.some((up) => Math.abs(dot(up, down)) > 0.9999)) continue;
    ups.push(down, [-down[0], -down[1], -down[2]]);
  }
  const stands = ups.map((up) => ({ up, grams: columnsUnder(task.samples, part.samples, up) * SUPPORT_G_A_MM3 }));
  return stands.sort((a, b) => a.grams - b.grams);
}

function leastThatFits(task: DivisionTask, part: ProxyPart): number {
  const stands = standsOf(task, part);
  const points = reachPoints(task, part, EVERY_SAMPLE);
  for (const stand of stands) if (fitsUpright(part, points, stand.up)) return stand.grams;
  return stands[stands.length - 1]!.grams;
}

function fitsUpright(part: ProxyPart, points: Float64Array, up: Vec3): boolean {
  const frames = layingFrames([up]);
  const height = extentAlong(points, frames.directions, 0);
  const boxes = part.boxes.filter((box) => height <= box.heightMm);
  if (boxes.length === 0) return false;
  for (let i = 0; i < frames.numTurns; i++) {
    const [, across, along] = frameDirections(frames, i);
    const sides = [across, along].map((d) => extentAlong(points, frames.directions, d));
    if (roomLeft(boxes, sides[0]!, sides[1]!, height) >= 0) return true;
  }
  return false;
}
