// Where a surface crosses itself: every pair of triangles that meet where they should not.
import { invariant } from '../../base/invariant.ts';
import { QUIET_WORK, type Work } from '../../base/work.ts';
import { type Mesh, numTris, type Vec3 } from '../../mesh/mesh.ts';
import { type CurveTree, curveTree, leafStart } from './self-crossings-tree.ts';
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
 *  Cost: O(n log n + candidates), about 1.8 s per million triangles. Method: boxes tree against itself, then exact signs;
 *  docs/methods/self-crossings.md. Weak: layers of long triangles lying on each other give quadratically many pairs. */
export function selfCrossings(mesh: Mesh, work: Work = QUIET_WORK, options: SelfCrossingsOptions = {}): SelfCrossings {
  const limit = options.listLimit ?? SELF_CROSSINGS_DEFAULTS.listLimit;
  work.tick(0, DOING);
  const search = startSearch(mesh, limit);
  searchPairs(search, work);
  return resultOf(search);
}

interface Search {
  readonly mesh: Mesh;
  readonly tree: CurveTree;
  readonly crossed: Uint8Array;
  /** By kind of crossing. */
  readonly counts: Float64Array;
  readonly limit: number;
  readonly flat: number;
  pairList: Int32Array;
  listed: number;
}

const DOING = 'looking for crossings';
const STACK_SIZE = 1024;
const TICK_EVERY = 4096;

function startSearch(mesh: Mesh, limit: number): Search {
  const tris = trisWithArea(mesh);
  const crossed = new Uint8Array(numTris(mesh));
  const counts = new Float64Array(4);
  const flat = numTris(mesh) - tris.length;
  return { mesh, tree: curveTree(mesh, tris), crossed, counts, limit, flat, pairList: new Int32Array(0), listed: 0 };
}

function trisWithArea(mesh: Mesh): Uint32Array {
  const tris = new Uint32Array(numTris(mesh));
  let count = 0;
  for (let t = 0; t < tris.length; t++) if (hasArea(mesh, t)) tris[count++] = t;
  return tris.subarray(0, count);
}

/** The tree against itself, level by level down: pairs of nodes whose boxes meet, until both are leaves. */
function searchPairs(search: Search, work: Work): void {
  const { numLeaves, nodeBoxes } = search.tree;
  const stack = new Int32Array(STACK_SIZE);
  stack[0] = 1;
  stack[1] = 1;
  let depth = 2;
  let rounds = 0;
  let done = 0;
  while (depth > 0) {
    const right = stack[--depth]!;
    const left = stack[--depth]!;
    if ((++rounds & (TICK_EVERY - 1)) === 0) work.tick(0.2 + 0.8 * (done / numLeaves), DOING);
    if (left >= numLeaves) {
      testLeaves(search, left - numLeaves, right - numLeaves);
      if (left === right) done = left - numLeaves;
      continue;
    }
    invariant(depth + 8 <= STACK_SIZE, 'a search of halves goes no deeper than the tree');
    // the last pushed is looked at first: the first half in full, so that progress follows the order of slots
    const child = left * 2;
    const other = right * 2;
    if (boxesMeet(nodeBoxes, child + 1, other + 1)) depth = pushPair(stack, depth, child + 1, other + 1);
    if (boxesMeet(nodeBoxes, child, other + 1)) depth = pushPair(stack, depth, child, other + 1);
    if (left !== right && boxesMeet(nodeBoxes, child + 1, other)) depth = pushPair(stack, depth, child + 1, other);
    if (boxesMeet(nodeBoxes, child, other)) depth = pushPair(stack, depth, child, other);
  }
}

function pushPair(stack: Int32Array, depth: number, left: number, right: number): number {
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

function testLeaves(search: Search, leaf: number, other: number): void {
  const { tree } = search;
  const end = leafStart(tree, leaf + 1);
  const otherStart = leafStart(tree, other);
  const otherEnd = leafStart(tree, other + 1);
  for (let slot = leafStart(tree, leaf); slot < end; slot++)
    for (let k = leaf === other ? slot + 1 : otherStart; k < otherEnd; k++)
      if (boxesMeet(tree.slotBoxes, slot, k)) testPair(search, tree.triOfSlot[slot]!, tree.triOfSlot[k]!);
}

function testPair(search: Search, tri: number, other: number): void {
  const kind = triangleCrossing(search.mesh, tri, other);
  if (kind === CROSS_NOT) return;
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
