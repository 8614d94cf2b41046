// Joins the segments in which a plane cuts triangles to closed loops, by the identity of the cut edges, never by coordinates.
import { invariant } from '../base/invariant.ts';

/** Handles for the edges a plane cuts: the same edge (lower vertex, upper vertex) always gets the same handle, counted from 0
 *  in the order of first use. One table serves many planes; `clear` costs O(1). Open addressing, at most half full. */
export class CrossingTable {
  lowVert = new Uint32Array(256);
  highVert = new Uint32Array(256);
  count = 0;
  /** Base + handle; what is smaller than the base was put there before the last clear. */
  private slots = new Uint32Array(512);
  private base = 1;

  /** Forgets all edges. `expected` is the number of edges that will come at most. */
  clear(expected: number): void {
    this.base += this.count;
    this.count = 0;
    if (expected <= this.lowVert.length && this.base + expected < 0xffffffff) return;
    let size = this.lowVert.length;
    while (size < expected) size *= 2;
    this.lowVert = new Uint32Array(size);
    this.highVert = new Uint32Array(size);
    this.slots = new Uint32Array(size * 2);
    this.base = 1;
  }

  handle(low: number, high: number): number {
    const { slots, lowVert, highVert, base } = this;
    const mask = slots.length - 1;
    let h = Math.imul(low, 0x9e3779b1) ^ Math.imul(high, 0x85ebca6b);
    h ^= h >>> 15;
    let slot = h & mask;
    for (let taken = slots[slot]!; taken >= base; taken = slots[slot]!) {
      const found = taken - base;
      if (lowVert[found] === low && highVert[found] === high) return found;
      slot = (slot + 1) & mask;
    }
    const handle = this.count++;
    slots[slot] = base + handle;
    lowVert[handle] = low;
    highVert[handle] = high;
    return handle;
  }
}

/** Loops as crossing handles in walking order; loop i is order[loopStart[i]] .. order[loopStart[i + 1] - 1]. */
export interface SectionLoops {
  readonly order: Uint32Array;
  /** Beside each crossing, the segment that leaves it. */
  readonly leaving: Uint32Array;
  readonly loopStart: Uint32Array;
}

/** Chains segments (start crossing, end crossing) to loops; null when they do not close (the surface is open there).
 *  An edge shared by four triangles starts two segments; they are paired in the order given. Cost: O(numSegments). */
export function chainLoops(start: Uint32Array, end: Uint32Array, numCrossings: number): SectionLoops | null {
  const numSegments = start.length;
  const firstSeg = new Int32Array(numCrossings).fill(-1);
  const otherSeg = new Int32Array(numSegments).fill(-1);
  for (let s = numSegments - 1; s >= 0; s--) {
    otherSeg[s] = firstSeg[start[s]!]!;
    firstSeg[start[s]!] = s;
  }
  const order = new Uint32Array(numSegments);
  const leaving = new Uint32Array(numSegments);
  const starts: number[] = [0];
  let filled = 0;
  for (let s = 0; s < numSegments; s++) {
    const origin = start[s]!;
    if (firstSeg[origin] !== s) continue;
    let at = origin;
    do {
      const seg = firstSeg[at]!;
      if (seg < 0) return null;
      firstSeg[at] = otherSeg[seg]!;
      leaving[filled] = seg;
      order[filled++] = at;
      at = end[seg]!;
    } while (at !== origin);
    starts.push(filled);
    if (firstSeg[origin] >= 0) s--;
  }
  invariant(filled === numSegments, 'every segment lies in one loop');
  return { order, leaving, loopStart: Uint32Array.from(starts) };
}

/** Twice the signed area of a closed loop (2 x n numbers), summed about its first point so that distance from the origin
 *  costs no digits. */
export function twiceLoopArea(loop: Float64Array): number {
  const x0 = loop[0] ?? 0;
  const y0 = loop[1] ?? 0;
  let sum = 0;
  for (let i = 2; i + 3 < loop.length; i += 2) {
    const ax = loop[i]! - x0;
    const ay = loop[i + 1]! - y0;
    sum += ax * (loop[i + 3]! - y0) - ay * (loop[i + 2]! - x0);
  }
  return sum;
}

/** Length of a closed loop of points with `dim` numbers each. */
export function loopLength(loop: Float64Array, dim: 2 | 3): number {
  let sum = 0;
  for (let i = 0, j = loop.length - dim; i < loop.length; j = i, i += dim) {
    const dz = dim === 3 ? loop[i + 2]! - loop[j + 2]! : 0;
    sum += Math.hypot(loop[i]! - loop[j]!, loop[i + 1]! - loop[j + 1]!, dz);
  }
  return sum;
}
