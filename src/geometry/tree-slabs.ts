// How flat what hangs under each child of a bounding tree is: two parallel planes that hold it. Where a wall runs aslant its box is thick and these are not.
import type { BoundingTree } from '../mesh/bounding-tree.ts';

/** Children x 5, child c of node n at (2 n + c) x 5: a unit direction, and the least and most of a corner along it, mm. */
export type TreeSlabs = Float32Array;

/** Children with more triangles hold the two sides of a wall, or much of a bend: their slabs would say little, and keep no bounds. */
const MOST_TRIS = 4096;
const NO_BOUND = 1e30;

/** The direction is the sum of the triangles' area normals, each turned the way of the sum of its own children, so that the two sides of a wall
 *  count as one way. Planes are moved out by more than single precision rounds off. Cost: O(n log n), some 0.3 s a million triangles. */
export function treeSlabs(tree: BoundingTree): TreeSlabs {
  const { children, slotCorners } = tree;
  const numChildren = children.length;
  const slabs = new Float32Array(numChildren * 5);
  const sums = new Float64Array(numChildren * 3);
  const from = new Uint32Array(numChildren);
  const to = new Uint32Array(numChildren);
  // nodes stand behind their parents: backwards, children come first
  for (let child = numChildren - 1; child >= 0; child--) {
    const code = children[child]!;
    if (code < 0) {
      from[child] = ~code >>> 4;
      to[child] = from[child]! + (~code & 15);
      for (let slot = from[child]!; slot < to[child]!; slot++) addNormal(slotCorners, slot * 9, sums, child * 3);
    } else {
      from[child] = from[code * 2]!;
      to[child] = to[code * 2 + 1]!;
      addTurned(sums, child * 3, sums[code * 6]!, sums[code * 6 + 1]!, sums[code * 6 + 2]!);
      addTurned(sums, child * 3, sums[code * 6 + 3]!, sums[code * 6 + 4]!, sums[code * 6 + 5]!);
    }
    writeSlab(slabs, child * 5, sums.subarray(child * 3, child * 3 + 3), {
      corners: slotCorners,
      from: from[child]!,
      to: to[child]!,
    });
  }
  return slabs;
}

function addNormal(p: Float64Array, o: number, sums: Float64Array, at: number): void {
  const ux = p[o + 3]! - p[o]!;
  const uy = p[o + 4]! - p[o + 1]!;
  const uz = p[o + 5]! - p[o + 2]!;
  const vx = p[o + 6]! - p[o]!;
  const vy = p[o + 7]! - p[o + 1]!;
  const vz = p[o + 8]! - p[o + 2]!;
  addTurned(sums, at, uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
}

function addTurned(sums: Float64Array, at: number, x: number, y: number, z: number): void {
  const sign = sums[at]! * x + sums[at + 1]! * y + sums[at + 2]! * z < 0 ? -1 : 1;
  sums[at] = sums[at]! + sign * x;
  sums[at + 1] = sums[at + 1]! + sign * y;
  sums[at + 2] = sums[at + 2]! + sign * z;
}

function writeSlab(
  slabs: Float32Array,
  o: number,
  sum: Float64Array,
  range: { readonly corners: Float64Array; readonly from: number; readonly to: number },
): void {
  const { corners: p, from, to } = range;
  const length = Math.sqrt(sum[0]! ** 2 + sum[1]! ** 2 + sum[2]! ** 2);
  slabs[o + 3] = -NO_BOUND;
  slabs[o + 4] = NO_BOUND;
  if (to - from > MOST_TRIS || !(length > 0)) return;
  for (let c = 0; c < 3; c++) slabs[o + c] = sum[c]! / length;
  const x = slabs[o]!;
  const y = slabs[o + 1]!;
  const z = slabs[o + 2]!;
  let low = Infinity;
  let high = -Infinity;
  for (let i = from * 9; i < to * 9; i += 3) {
    const along = x * p[i]! + y * p[i + 1]! + z * p[i + 2]!;
    if (along < low) low = along;
    if (along > high) high = along;
  }
  const pad = 3e-7 * Math.max(Math.abs(low), Math.abs(high));
  slabs[o + 3] = low - pad;
  slabs[o + 4] = high + pad;
}
