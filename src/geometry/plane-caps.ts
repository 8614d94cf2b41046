// The faces a plane leaves when it cuts a solid: contours grouped to one outer loop with its holes, and triangulated.
import { done, type Outcome, refuse } from '../base/findings.ts';
import { loopLength, type SectionLoops, twiceLoopArea } from './section-loops.ts';
import type { SolidKernel } from './solid/solid.ts';
import { callKernel } from './solid/solid.ts';

/** One connected cut face. */
export interface Cap {
  readonly areaMm2: number;
  /** Outer loop and holes together. */
  readonly lengthMm: number;
  /** 2 x n numbers each, in planeFrame(plane.normal): the outer loop first, counter-clockwise, then its holes, clockwise. */
  readonly loops: readonly Float64Array[];
  /** The same loops in space, 3 x n numbers each. */
  readonly outlines: readonly Float64Array[];
  /** 3 x m crossing handles, counter-clockwise seen from above the plane. */
  readonly triangles: Uint32Array;
}

/** Crossings in the frame of the plane (x 2), in space (x 3), and in the frame as seen from a height where no vertex is near:
 *  the same contours without the points that coincide when a vertex lies on the plane. Triangles are found in the last. */
export interface CapPoints {
  readonly flat: Float64Array;
  readonly points: Float64Array;
  readonly apart: Float64Array;
}

/** Groups and triangulates the contours of one plane.
 *  Every contour edge is an edge of exactly one triangle of its cap. Loops of two points need no face and give none.
 *  Cost: O(m log m) in the contour, plus loops x loops for the grouping. Refuses: SOLID_FAILED. */
export function triangulateCaps(
  chain: SectionLoops,
  crossings: CapPoints,
  triangulate: SolidKernel['triangulate'],
): Outcome<Cap[]> {
  const loops: CapLoop[] = [];
  for (let i = 0; i + 1 < chain.loopStart.length; i++) {
    const handles = chain.order.subarray(chain.loopStart[i]!, chain.loopStart[i + 1]!);
    if (handles.length >= 3) loops.push(capLoop(handles, crossings));
  }
  const caps: Cap[] = [];
  for (const group of groupLoops(loops)) {
    const handles = joinHandles(group);
    const made = callKernel(handles.length, () =>
      triangulate(
        group.map((loop) => loop.apart),
        epsilonOf(group[0]!.apart),
      ),
    );
    if (!made.ok) return made;
    const triangles = made.value.map((corner) => handles[corner]!);
    if (!fillsLoops(group, triangles))
      return refuse('SOLID_FAILED', 'The triangles of a cut face do not meet its outline edge by edge.');
    caps.push({
      areaMm2: group.reduce((sum, loop) => sum + loop.twiceArea, 0) / 2,
      lengthMm: group.reduce((sum, loop) => sum + loopLength(loop.outline, 3), 0),
      loops: group.map((loop) => loop.flat),
      outlines: group.map((loop) => loop.outline),
      triangles,
    });
  }
  return done(caps);
}

interface CapLoop {
  readonly handles: Uint32Array;
  readonly flat: Float64Array;
  readonly outline: Float64Array;
  readonly twiceArea: number;
  readonly apart: Float64Array;
  readonly twiceApart: number;
}

function capLoop(handles: Uint32Array, crossings: CapPoints): CapLoop {
  const flat = pick(crossings.flat, handles, 2);
  const apart = pick(crossings.apart, handles, 2);
  const outline = pick(crossings.points, handles, 3);
  return { handles, flat, outline, twiceArea: twiceLoopArea(flat), apart, twiceApart: twiceLoopArea(apart) };
}

function pick(values: Float64Array, handles: Uint32Array, dim: 2 | 3): Float64Array {
  const out = new Float64Array(handles.length * dim);
  for (let i = 0; i < handles.length; i++)
    for (let k = 0; k < dim; k++) out[i * dim + k] = values[handles[i]! * dim + k]!;
  return out;
}

/** Each hole goes to the smallest outer loop around it; a hole without one (a self-crossing surface) stands alone. */
function groupLoops(loops: readonly CapLoop[]): CapLoop[][] {
  const outers = loops.filter((loop) => loop.twiceApart >= 0);
  const bySize = [...outers].sort((a, b) => a.twiceApart - b.twiceApart);
  const groups = new Map<CapLoop, CapLoop[]>(outers.map((outer) => [outer, [outer]]));
  const alone: CapLoop[][] = [];
  for (const hole of loops) {
    if (hole.twiceApart >= 0) continue;
    const around = bySize.find((outer) => outer.twiceApart >= -hole.twiceApart && liesWithin(hole.apart, outer.apart));
    if (around === undefined) alone.push([hole]);
    else groups.get(around)!.push(hole);
  }
  return [...groups.values(), ...alone];
}

/** Most of about seven sample points decide, since loops may touch. */
function liesWithin(hole: Float64Array, outer: Float64Array): boolean {
  const numPoints = hole.length / 2;
  const stride = Math.max(1, Math.floor(numPoints / 7));
  let votes = 0;
  for (let i = 0; i < numPoints; i += stride) votes += isInside(hole[i * 2]!, hole[i * 2 + 1]!, outer) ? 1 : -1;
  return votes > 0;
}

function isInside(x: number, y: number, loop: Float64Array): boolean {
  let inside = false;
  for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
    const yi = loop[i + 1]!;
    const yj = loop[j + 1]!;
    if (yi > y === yj > y) continue;
    if (x < loop[i]! + ((y - yi) / (yj - yi)) * (loop[j]! - loop[i]!)) inside = !inside;
  }
  return inside;
}

function joinHandles(group: readonly CapLoop[]): Uint32Array {
  const handles = new Uint32Array(group.reduce((sum, loop) => sum + loop.handles.length, 0));
  let filled = 0;
  for (const loop of group) {
    handles.set(loop.handles, filled);
    filled += loop.handles.length;
  }
  return handles;
}

/** What double precision can know of the coordinates. */
function epsilonOf(flat: Float64Array): number {
  let size = 1;
  for (const value of flat) if (Math.abs(value) > size) size = Math.abs(value);
  return size * 1e-13;
}

/** Whether the directed edges of the loops and of the triangles, turned round, cancel one another. */
function fillsLoops(group: readonly CapLoop[], triangles: Uint32Array): boolean {
  const balance = new Map<number, number>();
  const add = (from: number, to: number): void => {
    if (from === to) return;
    const key = from < to ? from * 67108864 + to : to * 67108864 + from;
    balance.set(key, (balance.get(key) ?? 0) + (from < to ? 1 : -1));
  };
  for (const { handles } of group)
    for (let i = 0; i < handles.length; i++) add(handles[(i + 1) % handles.length]!, handles[i]!);
  for (let t = 0; t < triangles.length; t += 3)
    for (let k = 0; k < 3; k++) add(triangles[t + k]!, triangles[t + ((k + 1) % 3)]!);
  for (const left of balance.values()) if (left !== 0) return false;
  return true;
}
