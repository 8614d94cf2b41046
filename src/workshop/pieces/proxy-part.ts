// A part of the shell as the search sees it: some of the samples, and what is known about fitting them.
import { type BoxNeed, boxNeed, layingFrames, type PrintBox } from '../../geometry/laying-frames.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { SurfaceSamples } from '../../geometry/surface-patches.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { DivisionWeights } from './pieces-settings.ts';

/** What the whole search shares. */
export interface DivisionTask {
  readonly samples: SurfaceSamples;
  /** Per sample, 0 to 1: how dear a millimetre of seam is there. */
  readonly weight: Float64Array;
  /** Beds less margins, and less a little for what samples cannot know. */
  readonly boxes: readonly PrintBox[];
  readonly weights: DivisionWeights;
  readonly leastSectionMm: number;
  readonly beamWidth: number;
  readonly mostPieces: number;
  /** Where the plane of symmetry stands (x of model space), null when there is none. */
  readonly mirrorX: number | null;
  /** Whether only cuts that leave the left the mirror image of the right are tried. */
  readonly tries: typeof ANY_CUTS | typeof MIRRORED_CUTS;
  /** Grams of support of parts already asked for. */
  readonly supports: Map<ProxyPart, number>;
  /** Length by which two offsets count as different: a tenth of the largest bed diagonal. */
  readonly apartMm: number;
}

export const ANY_CUTS = 'any cuts';
export const MIRRORED_CUTS = 'mirrored cuts';

export interface ProxyPart {
  readonly samples: Int32Array;
  /** Points of the cut lines, n x 3: samples end up to a spacing short of a plane, these lie on it. */
  readonly rim: Float64Array;
  /** Normals of the planes that made it: its mating faces may lie on the bed. */
  readonly faces: readonly Vec3[];
  readonly areaMm2: number;
  readonly weighedMm2: number;
  readonly centreMm: Vec3;
  readonly need: BoxNeed;
}

export interface SplitPart {
  readonly below: readonly ProxyPart[];
  readonly above: readonly ProxyPart[];
}

/** Directions that may lie downwards: the three levels and the mating faces. */
export function downsOf(faces: readonly Vec3[]): Vec3[] {
  const out: Vec3[] = [
    [0, 0, 1],
    [1, 0, 0],
    [0, 1, 0],
  ];
  for (const face of faces) {
    if (!out.some((known) => Math.abs(dot(known, face)) > 0.9999)) out.push(face);
  }
  return out;
}

export function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function wholePart(task: DivisionTask): ProxyPart {
  const samples = Int32Array.from({ length: task.samples.num }, (_, i) => i);
  return partOf(task, samples, { faces: [], rim: new Float64Array(0) });
}

/** Splits a part by a plane into connected parts. Cost: samples of the part and their neighbours, then extents of both sides. */
export function splitPart(task: DivisionTask, part: ProxyPart, plane: Plane): SplitPart {
  const { points } = task.samples;
  const sideOf = new Int8Array(task.samples.num).fill(-1);
  const heights = new Float32Array(task.samples.num);
  for (const s of part.samples) {
    const d = heightOver(points, s * 3, plane);
    heights[s] = d;
    sideOf[s] = d < 0 ? 0 : 1;
  }
  const faces = [...part.faces, plane.normal];
  const out: [ProxyPart[], ProxyPart[]] = [[], []];
  for (const group of connectedGroups(task.samples, part.samples, sideOf.slice())) {
    const rim = joinedPoints(
      rimOnSide(part.rim, plane, group.side),
      crossings(task.samples, group.samples, { heights, sideOf }),
    );
    out[group.side]!.push(partOf(task, group.samples, { faces, rim }));
  }
  return { below: out[0], above: out[1] };
}

function heightOver(points: Float64Array, at: number, { normal, offsetMm }: Plane): number {
  return points[at]! * normal[0] + points[at + 1]! * normal[1] + points[at + 2]! * normal[2] - offsetMm;
}

/** Where links between samples cross the plane: near the line that the cut draws on the surface. */
function crossings(
  all: SurfaceSamples,
  samples: Int32Array,
  by: { readonly heights: Float32Array; readonly sideOf: Int8Array },
): Float64Array {
  const out: number[] = [];
  const p = all.points;
  for (const s of samples) {
    for (let k = all.neighbourStart[s]!; k < all.neighbourStart[s + 1]!; k++) {
      const other = all.neighbours[k]!;
      if (by.sideOf[other]! < 0 || by.sideOf[other]! === by.sideOf[s]!) continue;
      if (squaredApart(p, s * 3, other * 3) > 9 * all.spacingMm * all.spacingMm) continue;
      const f = by.heights[s]! / (by.heights[s]! - by.heights[other]!);
      for (let c = 0; c < 3; c++) out.push(p[s * 3 + c]! + f * (p[other * 3 + c]! - p[s * 3 + c]!));
    }
  }
  return thinned(Float64Array.from(out), RIM_POINTS);
}

/** Points kept of one cut line: a step of some millimetres along it. */
const RIM_POINTS = 240;

function thinned(points: Float64Array, most: number): Float64Array {
  const num = points.length / 3;
  if (num <= most) return points;
  const out = new Float64Array(most * 3);
  for (let i = 0; i < most; i++) {
    const from = Math.floor((i * num) / most) * 3;
    for (let c = 0; c < 3; c++) out[i * 3 + c] = points[from + c]!;
  }
  return out;
}

function squaredApart(p: Float64Array, a: number, b: number): number {
  return (p[a]! - p[b]!) ** 2 + (p[a + 1]! - p[b + 1]!) ** 2 + (p[a + 2]! - p[b + 2]!) ** 2;
}

/** Rim points of the parent that stay on this side. With several connected parts on a side each takes them all: extents of the
 *  smaller then err to the safe side. */
function rimOnSide(rim: Float64Array, plane: Plane, side: 0 | 1): Float64Array {
  const out: number[] = [];
  for (let i = 0; i < rim.length; i += 3) {
    if ((heightOver(rim, i, plane) < 0 ? 0 : 1) === side) out.push(rim[i]!, rim[i + 1]!, rim[i + 2]!);
  }
  return Float64Array.from(out);
}

function joinedPoints(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length + b.length);
  out.set(a);
  out.set(b, a.length);
  return out;
}

function connectedGroups(
  all: SurfaceSamples,
  samples: Int32Array,
  sideOf: Int8Array,
): { side: 0 | 1; samples: Int32Array }[] {
  const groups: { side: 0 | 1; samples: Int32Array }[] = [];
  const queue = new Int32Array(samples.length);
  for (const seed of samples) {
    const side = sideOf[seed]!;
    if (side < 0) continue;
    let tail = 0;
    queue[tail++] = seed;
    sideOf[seed] = -1;
    for (let head = 0; head < tail; head++) {
      const s = queue[head]!;
      for (let k = all.neighbourStart[s]!; k < all.neighbourStart[s + 1]!; k++) {
        const other = all.neighbours[k]!;
        if (sideOf[other]! !== side) continue;
        sideOf[other] = -1;
        queue[tail++] = other;
      }
    }
    groups.push({ side: side === 0 ? 0 : 1, samples: queue.slice(0, tail).sort() });
  }
  return groups;
}

function partOf(
  task: DivisionTask,
  samples: Int32Array,
  about: { readonly faces: readonly Vec3[]; readonly rim: Float64Array },
): ProxyPart {
  const { points, areaMm2 } = task.samples;
  let area = 0;
  let weighed = 0;
  let x = 0;
  let y = 0;
  let z = 0;
  for (const s of samples) {
    const a = areaMm2[s]!;
    area += a;
    weighed += a * task.weight[s]!;
    x += a * points[s * 3]!;
    y += a * points[s * 3 + 1]!;
    z += a * points[s * 3 + 2]!;
  }
  return {
    samples,
    faces: about.faces,
    rim: about.rim,
    areaMm2: area,
    weighedMm2: weighed,
    centreMm: [x / area, y / area, z / area],
    need: partNeed(task, samples, about.rim, about.faces),
  };
}

export const EVERY_SAMPLE = 'every sample';
export const OUTERMOST_SAMPLES = 'outermost samples';

/** Points by which extents are measured: samples and the rim. */
export function reachPoints(
  task: DivisionTask,
  samples: Int32Array,
  rim: Float64Array,
  which: typeof EVERY_SAMPLE | typeof OUTERMOST_SAMPLES,
): Float64Array {
  const { points, isReach } = task.samples;
  const out = new Float64Array(samples.length * 3 + rim.length);
  let filled = 0;
  for (const s of samples) {
    if (which === OUTERMOST_SAMPLES && isReach[s] === 0) continue;
    out[filled++] = points[s * 3]!;
    out[filled++] = points[s * 3 + 1]!;
    out[filled++] = points[s * 3 + 2]!;
  }
  out.set(rim, filled);
  return out.subarray(0, filled + rim.length);
}

/** Most parts are seen not to fit from their outermost samples already; only the others are measured on all. */
function partNeed(task: DivisionTask, samples: Int32Array, rim: Float64Array, faces: readonly Vec3[]): BoxNeed {
  const need = needOf(task, reachPoints(task, samples, rim, OUTERMOST_SAMPLES), faces);
  return need.pieces > 1 ? need : needOf(task, reachPoints(task, samples, rim, EVERY_SAMPLE), faces);
}

function needOf(task: DivisionTask, points: Float64Array, faces: readonly Vec3[]): BoxNeed {
  const frames = layingFrames(downsOf(faces));
  const extents = new Float64Array(frames.directions.length / 3);
  for (let d = 0; d < extents.length; d++) {
    const x = frames.directions[d * 3]!;
    const y = frames.directions[d * 3 + 1]!;
    const z = frames.directions[d * 3 + 2]!;
    let low = Infinity;
    let high = -Infinity;
    for (let i = 0; i < points.length; i += 3) {
      const v = points[i]! * x + points[i + 1]! * y + points[i + 2]! * z;
      if (v < low) low = v;
      if (v > high) high = v;
    }
    extents[d] = high - low;
  }
  return boxNeed(extents, frames.numDowns, task.boxes, { pieces: 0, longestMm: 0, slackMm: 0 });
}
