// Where a surface crosses itself: every pair of triangles that meet where they should not.
import { invariant } from '../base/invariant.ts';
import { QUIET_WORK, type Work } from '../base/work.ts';
import { type BoundingTree, buildBoundingTree } from '../mesh/bounding-tree.ts';
import { type Mesh, numTris, type Vec3 } from '../mesh/mesh.ts';
import {
  CROSS_APART,
  CROSS_AT_CORNER,
  CROSS_FOLDED,
  CROSS_NOT,
  hasArea,
  triangleCrossing,
} from './triangle-crossing.ts';

export interface SelfCrossingsOptions {
  /** Pairs beyond so many are counted but not listed. */
  readonly listLimit?: number;
}

export const SELF_CROSSINGS_DEFAULTS = { listLimit: 200_000 } as const;

export interface SelfCrossings {
  /** Pairs of triangles that cross. */
  readonly pairs: number;
  /** Triangles in at least one such pair. */
  readonly triangles: number;
  /** numPairs x 2: the triangles of each pair, smaller first, sorted; in no order and not complete when `listed` < `pairs`. */
  readonly pairList: Int32Array;
  readonly listed: number;
  /** numTris: 1 for triangles that cross another. */
  readonly crossed: Uint8Array;
  /** Middle of the first triangle that crosses another; null without any. */
  readonly firstAtMm: Vec3 | null;
  /** Pairs by how they are joined. */
  readonly kinds: { readonly folded: number; readonly atCorner: number; readonly apart: number };
  /** Triangles without area, which were left out. */
  readonly flat: number;
}

/** Counts the pairs of triangles that meet anywhere but where they are joined: triangles sharing an edge when they lie folded onto
 *  each other in one plane, sharing a corner when they meet elsewhere too, sharing nothing when they meet at all, if only in a
 *  point. Two triangles on the same three corners and triangles without area do not count. The mesh must be welded; closed or
 *  open, oriented or not, all the same. Exact. Space: any.
 *  Cost: O(n log n + candidates), about 2.5 s per million triangles. Method: boxes tree against itself, then exact signs;
 *  docs/methods/self-crossings.md. Weak: layers of long triangles lying on each other give quadratically many pairs. */
export function selfCrossings(mesh: Mesh, work: Work = QUIET_WORK, options: SelfCrossingsOptions = {}): SelfCrossings {
  const limit = options.listLimit ?? SELF_CROSSINGS_DEFAULTS.listLimit;
  const tree = buildBoundingTree(mesh, { ...work, tick: (fraction, doing) => work.tick(fraction * 0.4, doing) });
  const search = startSearch(mesh, tree, limit);
  searchPairs(search, work);
  return resultOf(search);
}

interface Search {
  readonly mesh: Mesh;
  readonly tree: BoundingTree;
  /** numTris x 6, slot by slot: low and high corner of each triangle, exact. Inverted for triangles without area. */
  readonly slotBoxes: Float64Array;
  readonly crossed: Uint8Array;
  /** By kind of crossing. */
  readonly counts: Float64Array;
  readonly limit: number;
  readonly flat: number;
  pairList: Int32Array;
  listed: number;
}

const STACK_SIZE = 4096;
const TICK_EVERY = 4096;

function startSearch(mesh: Mesh, tree: BoundingTree, limit: number): Search {
  const count = numTris(mesh);
  const slotBoxes = new Float64Array(count * 6);
  let flat = 0;
  for (let slot = 0; slot < count; slot++) {
    if (hasArea(mesh, tree.slotTri[slot]!)) {
      writeBox(tree.slotCorners, slot * 9, slotBoxes, slot * 6);
    } else {
      flat++;
      for (let k = 0; k < 6; k++) slotBoxes[slot * 6 + k] = k < 3 ? Infinity : -Infinity;
    }
  }
  const crossed = new Uint8Array(count);
  const counts = new Float64Array(4);
  return { mesh, tree, slotBoxes, crossed, counts, limit, flat, pairList: new Int32Array(0), listed: 0 };
}

function writeBox(corners: Float64Array, from: number, boxes: Float64Array, to: number): void {
  for (let k = 0; k < 3; k++) {
    const a = corners[from + k]!;
    const b = corners[from + 3 + k]!;
    const c = corners[from + 6 + k]!;
    boxes[to + k] = Math.min(a, b, c);
    boxes[to + 3 + k] = Math.max(a, b, c);
  }
}

/** The tree against itself: pairs of children whose boxes meet, until both are leaves. A child is named by where its box is:
 *  2 * node + (0 or 1). */
function searchPairs(search: Search, work: Work): void {
  const { boxes, children, slotTri } = search.tree;
  const stack = new Int32Array(STACK_SIZE);
  let depth = 2;
  let rounds = 0;
  while (depth > 0) {
    const right = stack[--depth]!;
    const left = stack[--depth]!;
    const leftCode = children[left]!;
    const rightCode = children[right]!;
    if (left === right) {
      if (leftCode < 0) {
        testWithinLeaf(search, leftCode);
        if ((++rounds & 255) === 0) work.tick(0.4 + 0.6 * Math.min(1, (~leftCode >> 4) / slotTri.length), DOING);
        continue;
      }
      // the last pushed is looked at first: the first half in full, so that progress follows the order of slots
      const child = leftCode * 2;
      if (boxesMeet(boxes, child, child + 1)) depth = pushPair(stack, depth, child, child + 1);
      depth = pushPair(stack, depth, child + 1, child + 1);
      depth = pushPair(stack, depth, child, child);
      continue;
    }
    if ((++rounds & (TICK_EVERY - 1)) === 0) work.tick(0.4, DOING);
    if (leftCode < 0 && rightCode < 0) {
      testLeaves(search, leftCode, rightCode);
    } else if (rightCode < 0 || (leftCode >= 0 && halfSurface(boxes, left) >= halfSurface(boxes, right))) {
      const child = leftCode * 2;
      if (boxesMeet(boxes, child, right)) depth = pushPair(stack, depth, child, right);
      if (boxesMeet(boxes, child + 1, right)) depth = pushPair(stack, depth, child + 1, right);
    } else {
      const child = rightCode * 2;
      if (boxesMeet(boxes, left, child)) depth = pushPair(stack, depth, left, child);
      if (boxesMeet(boxes, left, child + 1)) depth = pushPair(stack, depth, left, child + 1);
    }
  }
}

const DOING = 'looking for crossings';

function pushPair(stack: Int32Array, depth: number, left: number, right: number): number {
  invariant(depth + 2 <= STACK_SIZE, 'the tree is too deep for a search against itself');
  stack[depth] = left;
  stack[depth + 1] = right;
  return depth + 2;
}

function boxesMeet(boxes: Float32Array, left: number, right: number): boolean {
  const i = left * 6;
  const j = right * 6;
  return (
    boxes[i]! <= boxes[j + 3]! &&
    boxes[j]! <= boxes[i + 3]! &&
    boxes[i + 1]! <= boxes[j + 4]! &&
    boxes[j + 1]! <= boxes[i + 4]! &&
    boxes[i + 2]! <= boxes[j + 5]! &&
    boxes[j + 2]! <= boxes[i + 5]!
  );
}

function halfSurface(boxes: Float32Array, child: number): number {
  const x = boxes[child * 6 + 3]! - boxes[child * 6]!;
  const y = boxes[child * 6 + 4]! - boxes[child * 6 + 1]!;
  const z = boxes[child * 6 + 5]! - boxes[child * 6 + 2]!;
  return x * y + y * z + z * x;
}

function testWithinLeaf(search: Search, code: number): void {
  const first = ~code >> 4;
  const end = first + (~code & 15);
  for (let slot = first; slot < end; slot++)
    for (let other = slot + 1; other < end; other++) testSlots(search, slot, other);
}

function testLeaves(search: Search, leftCode: number, rightCode: number): void {
  const left = ~leftCode >> 4;
  const leftEnd = left + (~leftCode & 15);
  const right = ~rightCode >> 4;
  const rightEnd = right + (~rightCode & 15);
  for (let slot = left; slot < leftEnd; slot++)
    for (let other = right; other < rightEnd; other++) testSlots(search, slot, other);
}

function testSlots(search: Search, slot: number, other: number): void {
  const b = search.slotBoxes;
  const i = slot * 6;
  const j = other * 6;
  if (b[i]! > b[j + 3]! || b[j]! > b[i + 3]!) return;
  if (b[i + 1]! > b[j + 4]! || b[j + 1]! > b[i + 4]!) return;
  if (b[i + 2]! > b[j + 5]! || b[j + 2]! > b[i + 5]!) return;
  const tri = search.tree.slotTri[slot]!;
  const otherTri = search.tree.slotTri[other]!;
  const kind = triangleCrossing(search.mesh, tri, otherTri);
  if (kind !== CROSS_NOT) notePair(search, tri, otherTri, kind);
}

function notePair(search: Search, tri: number, other: number, kind: number): void {
  search.counts[kind] = search.counts[kind]! + 1;
  search.crossed[tri] = 1;
  search.crossed[other] = 1;
  if (search.listed >= search.limit) return;
  if (search.listed * 2 === search.pairList.length) {
    const grown = new Int32Array(Math.max(64, search.pairList.length * 2));
    grown.set(search.pairList);
    search.pairList = grown;
  }
  search.pairList[search.listed * 2] = Math.min(tri, other);
  search.pairList[search.listed * 2 + 1] = Math.max(tri, other);
  search.listed++;
}

function resultOf(search: Search): SelfCrossings {
  const { mesh, crossed, counts, listed, flat } = search;
  let triangles = 0;
  for (const mark of crossed) triangles += mark;
  const [folded, atCorner, apart] = [counts[CROSS_FOLDED]!, counts[CROSS_AT_CORNER]!, counts[CROSS_APART]!];
  return {
    pairs: folded + atCorner + apart,
    triangles,
    pairList: sortedPairs(search.pairList.subarray(0, listed * 2), numTris(mesh)),
    listed,
    crossed,
    firstAtMm: triangles === 0 ? null : middleOfTriangle(mesh, crossed.indexOf(1)),
    kinds: { folded, atCorner, apart },
    flat,
  };
}

function sortedPairs(pairs: Int32Array, count: number): Int32Array {
  const keys = new Float64Array(pairs.length / 2);
  for (let k = 0; k < keys.length; k++) keys[k] = pairs[k * 2]! * count + pairs[k * 2 + 1]!;
  keys.sort();
  const out = new Int32Array(pairs.length);
  for (let k = 0; k < keys.length; k++) {
    out[k * 2] = Math.floor(keys[k]! / count);
    out[k * 2 + 1] = keys[k]! % count;
  }
  return out;
}

function middleOfTriangle({ positions, triangles }: Mesh, t: number): Vec3 {
  const at = (k: number): number => {
    const [a, b, c] = [triangles[t * 3]!, triangles[t * 3 + 1]!, triangles[t * 3 + 2]!];
    return (positions[a * 3 + k]! + positions[b * 3 + k]! + positions[c * 3 + k]!) / 3;
  };
  return [at(0), at(1), at(2)];
}
