// A part of the shell as the search sees it: some of the samples, and what is known about fitting them.
import {
  type BoxNeed,
  boxNeed,
  frameDirections,
  type LayingFrames,
  layingFrames,
  type PrintBox,
  roomLeft,
} from '../../../geometry/laying-frames.ts';
import type { Plane } from '../../../geometry/plane.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { DivisionWeights } from '../pieces-settings.ts';
import type { PricedShell } from '../price/seam-gauge.ts';

/** What the whole search shares. */
export interface DivisionTask {
  readonly samples: SurfaceSamples;
  /** The shell itself, for what samples are too coarse to tell. */
  readonly shell: PricedShell;
  /** Planes along the shell's own folds. */
  readonly folds: readonly Plane[];
  /** Per sample, 0 to 1, and more where seams are kept clear of: how dear a millimetre of seam is there. */
  readonly weight: Float64Array;
  /** Beds less margins, and less a little for what samples cannot know. */
  readonly boxes: readonly PrintBox[];
  /** Parts that hold one of these samples may only use these boxes. */
  readonly claims: readonly BoxClaim[];
  /** So many cuts, the first of every division, are the maker's: no search moves them. */
  readonly heldCuts: number;
  readonly weights: DivisionWeights;
  readonly leastSectionMm: number;
  /** Volume of the shell over its area. */
  readonly thickMm: number;
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

export interface BoxClaim {
  readonly sample: number;
  readonly boxes: readonly PrintBox[];
}

export const ANY_CUTS = 'any cuts';
export const MIRRORED_CUTS = 'mirrored cuts';

/** A plane that made a part, and the side of it on which the part lies. */
export interface PartBound {
  readonly plane: Plane;
  readonly side: 0 | 1;
}

export interface ProxyPart {
  /** Ascending. */
  readonly samples: Int32Array;
  /** Points of the cut lines, n x 3: samples end up to a spacing short of a plane, these lie on it. */
  readonly rim: Float64Array;
  /** Its mating faces may lie on the bed. */
  readonly bounds: readonly PartBound[];
  /** What it must fit in one of. */
  readonly boxes: readonly PrintBox[];
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
export function downsOf({ bounds }: Pick<ProxyPart, 'bounds'>): Vec3[] {
  const out: Vec3[] = [
    [0, 0, 1],
    [1, 0, 0],
    [0, 1, 0],
  ];
  for (const { plane } of bounds) {
    if (!out.some((known) => Math.abs(dot(known, plane.normal)) > 0.9999)) out.push(plane.normal);
  }
  return out;
}

export function wholePart(task: DivisionTask): ProxyPart {
  const samples = Int32Array.from({ length: task.samples.num }, (_, i) => i);
  return partOf(task, samples, { bounds: [], rim: new Float64Array(0) });
}

/** Splits a part by a plane into connected parts. Cost: samples of the part and their neighbours, then extents of both sides. */
export function splitPart(task: DivisionTask, part: ProxyPart, plane: Plane): SplitPart {
  const { points } = task.samples;
  const groupOf = new Int16Array(task.samples.num).fill(NOT_HERE);
  const heights = new Float32Array(task.samples.num);
  const [nx, ny, nz] = plane.normal;
  const { samples } = part;
  for (let i = 0; i < samples.length; i++) {
    const s = samples[i]!;
    const d = points[s * 3]! * nx + points[s * 3 + 1]! * ny + points[s * 3 + 2]! * nz - plane.offsetMm;
    heights[s] = d;
    groupOf[s] = d < 0 ? BELOW : ABOVE;
  }
  const rims: [number[], number[]] = [[], []];
  crossings(task.samples, part.samples, { heights, groupOf, rims });
  const out: [ProxyPart[], ProxyPart[]] = [[], []];
  for (const group of connectedGroups(task.samples, part.samples, groupOf)) {
    const own = thinned(rims[group.side]!, group, groupOf);
    const rim = joinedPoints(rimOnSide(part.rim, plane, group.side), own);
    const bounds = [...part.bounds, { plane, side: group.side }];
    out[group.side]!.push(partOf(task, group.samples, { bounds, rim }));
  }
  return { below: out[0], above: out[1] };
}

const NOT_HERE = -1;
const BELOW = -2;
const ABOVE = -3;

function heightOver(points: Float64Array, at: number, { normal, offsetMm }: Plane): number {
  return points[at]! * normal[0] + points[at + 1]! * normal[1] + points[at + 2]! * normal[2] - offsetMm;
}

/** Where links between samples cross the plane: near the line that the cut draws on the surface. Per side: the sample, x, y, z. */
function crossings(
  all: SurfaceSamples,
  samples: Int32Array,
  by: {
    readonly heights: Float32Array;
    readonly groupOf: Int16Array;
    readonly rims: readonly [number[], number[]];
  },
): void {
  const p = all.points;
  const reach = 3 * all.spacingMm;
  for (const s of samples) {
    const own = by.heights[s]!;
    if (own > reach || own < -reach) continue;
    const side = by.groupOf[s]!;
    const rim = by.rims[side === BELOW ? 0 : 1];
    for (let k = all.neighbourStart[s]!; k < all.neighbourStart[s + 1]!; k++) {
      const other = all.neighbours[k]!;
      const there = by.groupOf[other]!;
      if (there === NOT_HERE || there === side) continue;
      if (squaredApart(p, s * 3, other * 3) > reach * reach) continue;
      const f = own / (own - by.heights[other]!);
      rim.push(s);
      for (let c = 0; c < 3; c++) rim.push(p[s * 3 + c]! + f * (p[other * 3 + c]! - p[s * 3 + c]!));
    }
  }
}

/** Points kept of one cut line: a step of some millimetres along it. */
const RIM_POINTS = 240;

/** The points of a group's own samples, at most so many of them. rim: sample, x, y, z. */
function thinned(rim: readonly number[], group: Group, groupOf: Int16Array): Float64Array {
  let num = 0;
  for (let i = 0; i < rim.length; i += 4) if (groupOf[rim[i]!] === group.index) num++;
  const most = Math.min(num, RIM_POINTS);
  const out = new Float64Array(most * 3);
  let seen = 0;
  let kept = 0;
  for (let i = 0; i < rim.length && kept < most; i += 4) {
    if (groupOf[rim[i]!] !== group.index) continue;
    if (seen++ !== Math.floor((kept * num) / most)) continue;
    for (let c = 0; c < 3; c++) out[kept * 3 + c] = rim[i + 1 + c]!;
    kept++;
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

interface Group {
  readonly index: number;
  readonly side: 0 | 1;
  readonly samples: Int32Array;
}

/** groupOf: BELOW and ABOVE become the index of the group. */
function connectedGroups(all: SurfaceSamples, samples: Int32Array, groupOf: Int16Array): Group[] {
  const sides: (0 | 1)[] = [];
  const sizes: number[] = [];
  const { neighbourStart, neighbours } = all;
  const queue = new Int32Array(samples.length);
  for (let i = 0; i < samples.length; i++) {
    const seed = samples[i]!;
    const side = groupOf[seed]!;
    if (side > NOT_HERE) continue;
    const index = sides.length;
    let tail = 0;
    queue[tail++] = seed;
    groupOf[seed] = index;
    for (let head = 0; head < tail; head++) {
      const s = queue[head]!;
      const end = neighbourStart[s + 1]!;
      for (let k = neighbourStart[s]!; k < end; k++) {
        const other = neighbours[k]!;
        if (groupOf[other]! !== side) continue;
        groupOf[other] = index;
        queue[tail++] = other;
      }
    }
    sides.push(side === BELOW ? 0 : 1);
    sizes.push(tail);
  }
  const groups = sides.map((side, index) => ({ index, side, samples: new Int32Array(sizes[index]!) }));
  const filled = new Int32Array(sides.length);
  for (let i = 0; i < samples.length; i++) {
    const s = samples[i]!;
    const index = groupOf[s]!;
    groups[index]!.samples[filled[index]!] = s;
    filled[index] = filled[index]! + 1;
  }
  return groups;
}

function partOf(
  task: DivisionTask,
  samples: Int32Array,
  about: { readonly bounds: readonly PartBound[]; readonly rim: Float64Array },
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
    weighed += a * Math.min(1, task.weight[s]!);
    x += a * points[s * 3]!;
    y += a * points[s * 3 + 1]!;
    z += a * points[s * 3 + 2]!;
  }
  const { boxes, isTorn } = boxesOf(task, samples);
  const { bounds, rim } = about;
  const need = partNeed(task, { samples, bounds, rim, boxes });
  return {
    samples,
    bounds,
    rim,
    boxes,
    areaMm2: area,
    weighedMm2: weighed,
    centreMm: [x / area, y / area, z / area],
    need: isTorn ? { ...need, pieces: Math.max(2, need.pieces) } : need,
  };
}

/** The boxes of the machines that were asked for the part. When several are asked for that have none in common, the part has to be cut
 *  between them, and stands to the boxes of all. */
function boxesOf(task: DivisionTask, samples: Int32Array): { boxes: readonly PrintBox[]; isTorn: boolean } {
  let boxes = task.boxes;
  const asked: PrintBox[] = [];
  for (const claim of task.claims) {
    if (!hasSample(samples, claim.sample)) continue;
    asked.push(...claim.boxes);
    boxes = boxes.filter((box) => claim.boxes.includes(box));
  }
  return boxes.length > 0 ? { boxes, isTorn: false } : { boxes: asked, isTorn: true };
}

/** samples: ascending. */
function hasSample(samples: Int32Array, sample: number): boolean {
  let low = 0;
  let high = samples.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const there = samples[middle]!;
    if (there === sample) return true;
    if (there < sample) low = middle + 1;
    else high = middle - 1;
  }
  return false;
}

export const EVERY_SAMPLE = 'every sample';
export const OUTERMOST_SAMPLES = 'outermost samples';

/** Points by which extents are measured: samples and the rim, of each every `stride`-th. */
export function reachPoints(
  task: DivisionTask,
  { samples, rim }: Pick<ProxyPart, 'samples' | 'rim'>,
  which: typeof EVERY_SAMPLE | typeof OUTERMOST_SAMPLES,
  stride = 1,
): Float64Array {
  const { points, isReach } = task.samples;
  const out = new Float64Array(samples.length * 3 + rim.length);
  let filled = 0;
  let seen = 0;
  for (const s of samples) {
    if (which === OUTERMOST_SAMPLES && isReach[s] === 0) continue;
    if (seen++ % stride !== 0) continue;
    out[filled++] = points[s * 3]!;
    out[filled++] = points[s * 3 + 1]!;
    out[filled++] = points[s * 3 + 2]!;
  }
  for (let i = 0; i < rim.length; i += 3 * stride) {
    for (let c = 0; c < 3; c++) out[filled++] = rim[i + c]!;
  }
  return out.subarray(0, filled);
}

/** How many outermost samples a first look takes: enough to see that a part does not fit, which most do not. */
const ROUGH_POINTS = 300;

type Bounded = Pick<ProxyPart, 'samples' | 'rim' | 'bounds' | 'boxes'>;

/** A part that does not fit by some of its outermost samples does not fit; one that does is measured on all samples in the frames that
 *  leave most room, until it fits one. */
function partNeed(task: DivisionTask, part: Bounded): BoxNeed {
  const frames = layingFrames(downsOf(part));
  const rough = reachPoints(
    task,
    part,
    OUTERMOST_SAMPLES,
    Math.max(1, Math.floor(part.samples.length / 2 / ROUGH_POINTS)),
  );
  const extents = new Float64Array(frames.directions.length / 3);
  for (let d = 0; d < extents.length; d++) extents[d] = extentAlong(rough, frames.directions, d);
  const need = boxNeed(extents, frames, part.boxes, { pieces: 0, longestMm: 0, slackMm: 0 });
  if (need.pieces > 1) return need;
  const points = reachPoints(task, part, EVERY_SAMPLE);
  for (const i of roomiestFrames(frames, extents, part.boxes)) {
    const [down, across, along] = frameDirections(frames, i);
    const height = extentAlong(points, frames.directions, down);
    const [a, b] = [extentAlong(points, frames.directions, across), extentAlong(points, frames.directions, along)];
    const slackMm = roomLeft(part.boxes, a, b, height);
    if (slackMm >= 0) return { pieces: 1, longestMm: Math.max(a, b, height), slackMm };
  }
  return { ...need, pieces: 2, slackMm: -1 };
}

/** Frames in which the part seems to fit, those that leave most room first. */
function roomiestFrames(frames: LayingFrames, extents: Float64Array, boxes: readonly PrintBox[]): number[] {
  const fitting: { readonly i: number; readonly room: number }[] = [];
  for (let i = 0; i < frames.numDowns * frames.numTurns; i++) {
    const [down, across, along] = frameDirections(frames, i);
    const room = roomLeft(boxes, extents[across]!, extents[along]!, extents[down]!);
    if (room >= 0) fitting.push({ i, room });
  }
  return fitting.sort((a, b) => b.room - a.room || a.i - b.i).map((one) => one.i);
}

/** points: n x 3; directions: the d-th of them. */
export function extentAlong(points: Float64Array, directions: Float64Array, d: number): number {
  const x = directions[d * 3]!;
  const y = directions[d * 3 + 1]!;
  const z = directions[d * 3 + 2]!;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < points.length; i += 3) {
    const v = points[i]! * x + points[i + 1]! * y + points[i + 2]! * z;
    if (v < low) low = v;
    if (v > high) high = v;
  }
  return high - low;
}
