// The least distance between a triangle and a surface: exact, where sampled points would only come near it.
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { triangleDistance2 } from '../mesh/closest-point.ts';
import { NONE, type Vec3 } from '../mesh/mesh.ts';

export interface TriangleGap {
  readonly distanceMm: number;
  /** The nearest place on the triangle asked about. */
  readonly atMm: Vec3;
  /** The triangle of the tree's mesh. */
  readonly tri: number;
}

/** From a triangle (9 numbers, xyz of three corners) to the nearest triangle of a tree; 0 where they cross. Null when none lies nearer than
 *  `withinMm`. Cost: O(log n) and some 2 us for each triangle about as near as the nearest.
 *  Method: nearer box first; of two triangles that do not cross the least distance is from a corner to a triangle or between two edges
 *  (Ericson, Real-Time Collision Detection, 5.1.5 and 5.1.9). */
export function triangleGap(tree: BoundingTree, corners: Float64Array, withinMm = Infinity): TriangleGap | null {
  const { boxes, children, stack, stackNear } = tree;
  const own = boxOf(corners);
  const pair = new Float64Array(18);
  pair.set(corners);
  const near: Near = { distance2: withinMm * withinMm, at: new Float64Array(3), scratch: tree.scratch };
  let foundTri = NONE;
  let depth = 0;
  stack[depth] = 0;
  stackNear[depth++] = 0;
  while (depth > 0) {
    const code = stack[--depth]!;
    if (stackNear[depth]! >= near.distance2 && near.distance2 > 0) continue;
    if (code < 0) {
      const leaf = ~code;
      for (let slot = leaf >>> 4; slot < (leaf >>> 4) + (leaf & 15); slot++) {
        pair.set(tree.slotCorners.subarray(slot * 9, slot * 9 + 9), 9);
        if (pairGap(pair, near)) foundTri = tree.slotTri[slot]!;
      }
      continue;
    }
    const [left, right] = [children[code * 2]!, children[code * 2 + 1]!];
    const toLeft = boxGap2(boxes, code * 12, own);
    const toRight = boxGap2(boxes, code * 12 + 6, own);
    const order = toLeft <= toRight ? [right, toRight, left, toLeft] : [left, toLeft, right, toRight];
    for (let i = 0; i < 4; i += 2) {
      if (order[i + 1]! >= near.distance2) continue;
      stack[depth] = order[i]!;
      stackNear[depth++] = order[i + 1]!;
    }
  }
  if (foundTri === NONE) return null;
  return {
    distanceMm: Math.sqrt(near.distance2),
    atMm: [near.at[0]!, near.at[1]!, near.at[2]!],
    tri: foundTri,
  };
}

interface Near {
  distance2: number;
  readonly at: Float64Array;
  readonly scratch: Float64Array;
}

/** pair: the triangle asked about and another. Takes up what is nearer than `near`; true when it did. */
function pairGap(pair: Float64Array, near: Near): boolean {
  const { scratch } = near;
  let better = false;
  for (let c = 0; c < 6; c++) {
    for (let k = 0; k < 3; k++) scratch[k] = pair[c * 3 + k]!;
    const distance2 = triangleDistance2(pair, c < 3 ? 9 : 0, scratch);
    if (distance2 >= near.distance2) continue;
    near.distance2 = distance2;
    near.at.set(c < 3 ? scratch.subarray(0, 3) : scratch.subarray(7, 10));
    better = true;
  }
  for (let i = 0; i < 3; i++) for (let j = 3; j < 6; j++) if (edgeGap(pair, { a: i, c: j }, near)) better = true;
  for (let i = 0; i < 6; i++) if (near.distance2 > 0 && pierces(pair, i, near)) better = true;
  return better;
}

/** Between the edge from corner a of the first triangle and the one from corner c of the second. */
function edgeGap(pair: Float64Array, { a, c }: { readonly a: number; readonly c: number }, near: Near): boolean {
  const [p, q] = [a * 3, (a === 2 ? 0 : a + 1) * 3];
  const [r, s] = [c * 3, (c === 5 ? 3 : c + 1) * 3];
  let [dd, ee, de, df, ef] = [0, 0, 0, 0, 0];
  for (let k = 0; k < 3; k++) {
    const d = pair[q + k]! - pair[p + k]!;
    const e = pair[s + k]! - pair[r + k]!;
    const f = pair[p + k]! - pair[r + k]!;
    dd += d * d;
    ee += e * e;
    de += d * e;
    df += d * f;
    ef += e * f;
  }
  const square = dd * ee - de * de;
  // Edges that run alike have their least distance at a corner as well.
  if (!(square > 1e-12 * dd * ee)) return false;
  const along = (de * ef - ee * df) / square;
  const across = (dd * ef - de * df) / square;
  if (along < 0 || along > 1 || across < 0 || across > 1) return false;
  let distance2 = 0;
  for (let k = 0; k < 3; k++) {
    const x = pair[p + k]! + along * (pair[q + k]! - pair[p + k]!);
    const y = pair[r + k]! + across * (pair[s + k]! - pair[r + k]!);
    distance2 += (x - y) * (x - y);
  }
  if (distance2 >= near.distance2) return false;
  near.distance2 = distance2;
  for (let k = 0; k < 3; k++) near.at[k] = pair[p + k]! + along * (pair[q + k]! - pair[p + k]!);
  return true;
}

/** Whether the edge from corner `i` goes through the other triangle. */
function pierces(pair: Float64Array, i: number, near: Near): boolean {
  const first = i < 3 ? 0 : 3;
  const p = i * 3;
  const q = (first + ((i - first + 1) % 3)) * 3;
  const o = i < 3 ? 9 : 0;
  const six = (at: number, u: number, v: number, w: number): number => {
    const row = (to: number): readonly [number, number, number] => [
      pair[to]! - pair[at]!,
      pair[to + 1]! - pair[at + 1]!,
      pair[to + 2]! - pair[at + 2]!,
    ];
    const [a, b, c] = [row(u), row(v), row(w)];
    return a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  };
  const above = six(p, o, o + 3, o + 6);
  const below = six(q, o, o + 3, o + 6);
  if (above * below >= 0) return false;
  const [x, y, z] = [six(p, q, o, o + 3), six(p, q, o + 3, o + 6), six(p, q, o + 6, o)];
  if (!((x > 0 && y > 0 && z > 0) || (x < 0 && y < 0 && z < 0))) return false;
  near.distance2 = 0;
  const share = above / (above - below);
  for (let k = 0; k < 3; k++) near.at[k] = pair[p + k]! + share * (pair[q + k]! - pair[p + k]!);
  return true;
}

function boxOf(corners: Float64Array): Float64Array {
  const box = new Float64Array(6);
  for (let k = 0; k < 3; k++) {
    box[k] = Math.min(corners[k]!, corners[3 + k]!, corners[6 + k]!);
    box[3 + k] = Math.max(corners[k]!, corners[3 + k]!, corners[6 + k]!);
  }
  return box;
}

function boxGap2(boxes: Float32Array, o: number, own: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < 3; k++) {
    const gap = Math.max(boxes[o + k]! - own[3 + k]!, own[k]! - boxes[o + 3 + k]!, 0);
    sum += gap * gap;
  }
  return sum;
}
