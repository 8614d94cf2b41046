// A part of the shell as the search sees it: some of the samples, and what is known about fitting them.
import { type BoxNeed, boxNeed, layingFrames, type PrintBox } from '../../geometry/laying-frames.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { SurfaceSamples } from '../../geometry/surface-samples.ts';
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
  /** Length by which two offsets count as different: a tenth of the largest bed diagonal. */
  readonly apartMm: number;
}

export interface ProxyPart {
  readonly samples: Int32Array;
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
  return partOf(task, samples, { faces: [] });
}

/** Splits a part by a plane into connected parts. Needs already known for a side (from a sweep) are used when it stays whole.
 *  Cost: samples of the part and their neighbours. */
export function splitPart(
  task: DivisionTask,
  part: ProxyPart,
  plane: Plane,
  known?: { readonly below: BoxNeed; readonly above: BoxNeed },
): SplitPart {
  const { points } = task.samples;
  const sideOf = new Int8Array(task.samples.num).fill(-1);
  for (const s of part.samples) {
    const d =
      points[s * 3]! * plane.normal[0] + points[s * 3 + 1]! * plane.normal[1] + points[s * 3 + 2]! * plane.normal[2];
    sideOf[s] = d < plane.offsetMm ? 0 : 1;
  }
  const faces = [...part.faces, plane.normal];
  const out: [ProxyPart[], ProxyPart[]] = [[], []];
  const groups = connectedGroups(task.samples, part.samples, sideOf);
  const alone = [0, 1].map((side) => groups.filter((group) => group.side === side).length === 1);
  for (const group of groups) {
    const need = alone[group.side] ? (group.side === 0 ? known?.below : known?.above) : undefined;
    out[group.side]!.push(partOf(task, group.samples, need === undefined ? { faces } : { faces, need }));
  }
  return { below: out[0], above: out[1] };
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
  about: { readonly faces: readonly Vec3[]; readonly need?: BoxNeed },
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
    areaMm2: area,
    weighedMm2: weighed,
    centreMm: [x / area, y / area, z / area],
    need: about.need ?? needOf(task, samples, about.faces),
  };
}

function needOf(task: DivisionTask, samples: Int32Array, faces: readonly Vec3[]): BoxNeed {
  const frames = layingFrames(downsOf(faces));
  const extents = new Float64Array(frames.directions.length / 3);
  const { points } = task.samples;
  for (let d = 0; d < extents.length; d++) {
    const x = frames.directions[d * 3]!;
    const y = frames.directions[d * 3 + 1]!;
    const z = frames.directions[d * 3 + 2]!;
    let low = Infinity;
    let high = -Infinity;
    for (let i = 0; i < samples.length; i++) {
      const s = samples[i]! * 3;
      const v = points[s]! * x + points[s + 1]! * y + points[s + 2]! * z;
      if (v < low) low = v;
      if (v > high) high = v;
    }
    extents[d] = high - low;
  }
  return boxNeed(extents, frames.numDowns, task.boxes, { pieces: 0, longestMm: 0, slackMm: 0 });
}
