// A tree of boxes over the triangles of a mesh, as a few flat buffers: rays and closest points read it.
import { QUIET_WORK, type Work } from '../base/work.ts';
import { bounds } from './measure.ts';
import { type Mesh, NONE, numTris } from './mesh.ts';

/** What the buffers mean; a stored tree of another version is built anew. */
export const TREE_VERSION = 1;

/** A binary tree of axis-aligned boxes. Space and mm as the mesh. About 110 bytes per triangle.
 *  One tree serves one search at a time (it holds the room a search needs); every worker has its own copy. */
export interface BoundingTree {
  readonly kind: 'bounding-tree';
  readonly version: typeof TREE_VERSION;
  /** numNodes x 12: low xyz and high xyz of both children, rounded outward so that no rounding of a search can miss a triangle.
   *  A child that is not there has an inverted box. Node 0 is the root. */
  readonly boxes: Float32Array;
  /** numNodes x 2: a node (>= 0), or a leaf (< 0): its complement is first slot * 16 + number of triangles. */
  readonly children: Int32Array;
  /** numTris x 9: corners of the triangles in slot order, leaf after leaf. */
  readonly slotCorners: Float64Array;
  /** numTris: the triangle of the mesh in each slot. */
  readonly slotTri: Uint32Array;
  readonly stack: Int32Array;
  readonly stackNear: Float64Array;
  /** Numbers going into a search and coming out of it. */
  readonly scratch: Float64Array;
}

const LEAF_TRIS = 4;
const NUM_BINS = 16;
/** Below this depth ranges are halved by count, so that no input makes the tree deeper than about 40 + log2(numTris). */
const DEEPEST_BINNED = 40;
const STACK_SIZE = 128;
const EMPTY_BOX = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];

/** A tree over all triangles, of open, closed and degenerate meshes alike. Cost: O(n log n), about a second and 200 MB at peak per
 *  million triangles. Method: binned surface-area heuristic on the longest side (Wald 2007); docs/methods/bounding-tree.md.
 *  Weak: long slanted triangles have big boxes; they are not cut into parts. */
export function buildBoundingTree(mesh: Mesh, work: Work = QUIET_WORK): BoundingTree {
  const build = startBuild(mesh, work);
  if (numTris(mesh) > 0) {
    boxOfRange(build, 0, 0, numTris(mesh));
    fillChild(build, 0, { from: 0, to: numTris(mesh), depth: 0 });
  }
  return {
    kind: 'bounding-tree',
    version: TREE_VERSION,
    boxes: build.boxes.slice(0, build.numNodes * 12),
    children: build.children.slice(0, build.numNodes * 2),
    slotCorners: cornersInOrder(mesh, build.order),
    slotTri: build.order,
    stack: new Int32Array(STACK_SIZE),
    stackNear: new Float64Array(STACK_SIZE),
    scratch: new Float64Array(16),
  };
}

/** The same tree for one more search at a time: its boxes are shared, the room that a search needs is its own. */
export function withOwnRoom(tree: BoundingTree): BoundingTree {
  return {
    ...tree,
    stack: new Int32Array(STACK_SIZE),
    stackNear: new Float64Array(STACK_SIZE),
    scratch: new Float64Array(16),
  };
}

interface Build {
  readonly work: Work;
  /** numTris x 6: low and high corner of each triangle's box, in the order of `order`. */
  readonly triBoxes: Float32Array;
  readonly order: Uint32Array;
  /** Slot s is the box of child s % 2 of node s / 2. */
  readonly boxes: Float32Array;
  readonly children: Int32Array;
  readonly binBoxes: Float64Array;
  readonly emptyBins: Float64Array;
  readonly binCounts: Int32Array;
  /** Per bin: cost of all bins up to and with it. */
  readonly binCosts: Float64Array;
  readonly box: Float64Array;
  numNodes: number;
  placed: number;
}

/** The triangles at from .. to - 1 of the order. */
interface Range {
  readonly from: number;
  readonly to: number;
  readonly depth: number;
}

function startBuild(mesh: Mesh, work: Work): Build {
  const count = numTris(mesh);
  const order = new Uint32Array(count);
  for (let t = 0; t < count; t++) order[t] = t;
  const boxes = new Float32Array((count + 1) * 12);
  boxes.set([...EMPTY_BOX, ...EMPTY_BOX]);
  const children = new Int32Array((count + 1) * 2);
  children[0] = leafCode(0, 0);
  children[1] = leafCode(0, 0);
  const emptyBins = Float64Array.from({ length: NUM_BINS * 6 }, (_, i) => EMPTY_BOX[i % 6]!);
  return {
    work,
    triBoxes: paddedBoxes(mesh),
    order,
    boxes,
    children,
    binBoxes: emptyBins.slice(),
    emptyBins,
    binCounts: new Int32Array(NUM_BINS),
    binCosts: new Float64Array(NUM_BINS),
    box: new Float64Array(6),
    numNodes: 1,
    placed: 0,
  };
}

function leafCode(first: number, count: number): number {
  return ~((first << 4) | count);
}

/** A box per triangle, larger than it by 1 to 2 ten-millionths of the largest coordinate: more than single precision rounds off,
 *  and far more than the arithmetic of a search does. */
function paddedBoxes(mesh: Mesh): Float32Array {
  const { positions: p, triangles } = mesh;
  const { minMm, maxMm } = bounds(mesh);
  const pad = Math.max(...minMm.map(Math.abs), ...maxMm.map(Math.abs), 1e-30) * 2 ** -23;
  const out = new Float32Array(triangles.length * 2);
  for (let t = 0, o = 0; t < triangles.length; t += 3, o += 6) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    for (let k = 0; k < 3; k++) {
      out[o + k] = Math.min(p[a + k]!, p[b + k]!, p[c + k]!) - pad;
      out[o + 3 + k] = Math.max(p[a + k]!, p[b + k]!, p[c + k]!) + pad;
    }
  }
  return out;
}

/** Writes the code of a range into a slot whose box is written already, and everything below it. */
function fillChild(build: Build, slot: number, range: Range): void {
  const { from, to, depth } = range;
  if (to - from <= LEAF_TRIS) {
    build.children[slot] = leafCode(from, to - from);
    build.placed += to - from;
    return;
  }
  if (to - from > 4096) build.work.tick(build.placed / build.order.length, 'sorting triangles into boxes');
  const node = build.numNodes++;
  build.children[slot] = node;
  const left = node * 2;
  let middle = depth < DEEPEST_BINNED ? binnedSplit(build, slot, range, left) : NONE;
  if (middle === NONE) {
    middle = (from + to) >>> 1;
    boxOfRange(build, left, from, middle);
    boxOfRange(build, left + 1, middle, to);
  }
  fillChild(build, left, { from, to: middle, depth: depth + 1 });
  fillChild(build, left + 1, { from: middle, to, depth: depth + 1 });
}

function boxOfRange(build: Build, slot: number, from: number, to: number): void {
  const { triBoxes, boxes } = build;
  boxes.set(EMPTY_BOX, slot * 6);
  for (let i = from * 6; i < to * 6; i++) {
    const o = slot * 6 + (i % 6);
    const x = triBoxes[i]!;
    if (i % 6 < 3 ? x < boxes[o]! : x > boxes[o]!) boxes[o] = x;
  }
}

/** Puts the range in two halves at the cheapest border between bins and writes their boxes to slots left and left + 1.
 *  Returns where the second half begins, or NONE when all triangles fall into one bin. */
function binnedSplit(build: Build, slot: number, { from, to }: Range, left: number): number {
  const { boxes } = build;
  let axis = 0;
  let size = 0;
  for (let k = 0; k < 3; k++) {
    const side = boxes[slot * 6 + 3 + k]! - boxes[slot * 6 + k]!;
    if (side > size) {
      axis = k;
      size = side;
    }
  }
  if (!(size > 0 && size < Infinity)) return NONE;
  // middles are kept doubled: low + high
  const bins = { axis, low: 2 * boxes[slot * 6 + axis]!, scale: (NUM_BINS * (1 - 1e-9)) / (2 * size) };
  fillBins(build, from, to, bins);
  const lastLeft = cheapestBorder(build);
  if (lastLeft === NONE) return NONE;
  writeUnion(build, left, 0, lastLeft);
  writeUnion(build, left + 1, lastLeft + 1, NUM_BINS - 1);
  return partition(build, { from, to, lastLeft }, bins);
}

interface Bins {
  readonly axis: number;
  readonly low: number;
  readonly scale: number;
}

function fillBins(build: Build, from: number, to: number, { axis, low, scale }: Bins): void {
  const { triBoxes, binBoxes, binCounts } = build;
  binBoxes.set(build.emptyBins);
  binCounts.fill(0);
  for (let i = from * 6; i < to * 6; i += 6) {
    const bin = ((triBoxes[i + axis]! + triBoxes[i + 3 + axis]! - low) * scale) | 0;
    binCounts[bin] = binCounts[bin]! + 1;
    const o = bin * 6;
    const x = triBoxes[i]!;
    const y = triBoxes[i + 1]!;
    const z = triBoxes[i + 2]!;
    const highX = triBoxes[i + 3]!;
    const highY = triBoxes[i + 4]!;
    const highZ = triBoxes[i + 5]!;
    if (x < binBoxes[o]!) binBoxes[o] = x;
    if (y < binBoxes[o + 1]!) binBoxes[o + 1] = y;
    if (z < binBoxes[o + 2]!) binBoxes[o + 2] = z;
    if (highX > binBoxes[o + 3]!) binBoxes[o + 3] = highX;
    if (highY > binBoxes[o + 4]!) binBoxes[o + 4] = highY;
    if (highZ > binBoxes[o + 5]!) binBoxes[o + 5] = highZ;
  }
}

/** The last bin of the left half at the border where surface times count, both halves together, is least; NONE when one half
 *  would be empty at every border. */
function cheapestBorder(build: Build): number {
  const { binCosts, binCounts, box } = build;
  box.set(EMPTY_BOX);
  let count = 0;
  for (let bin = 0; bin < NUM_BINS - 1; bin++) {
    growBox(build, bin);
    count += binCounts[bin]!;
    binCosts[bin] = count === 0 ? Infinity : halfSurface(box) * count;
  }
  box.set(EMPTY_BOX);
  let best = NONE;
  let least = Infinity;
  count = 0;
  for (let bin = NUM_BINS - 1; bin > 0; bin--) {
    growBox(build, bin);
    count += binCounts[bin]!;
    if (count === 0) continue;
    const cost = binCosts[bin - 1]! + halfSurface(box) * count;
    if (cost < least) {
      least = cost;
      best = bin - 1;
    }
  }
  return best;
}

function growBox({ box, binBoxes, binCounts }: Build, bin: number): void {
  if (binCounts[bin] === 0) return;
  for (let k = 0; k < 3; k++) {
    const low = binBoxes[bin * 6 + k]!;
    const high = binBoxes[bin * 6 + 3 + k]!;
    if (low < box[k]!) box[k] = low;
    if (high > box[3 + k]!) box[3 + k] = high;
  }
}

function halfSurface(box: Float64Array): number {
  const x = box[3]! - box[0]!;
  const y = box[4]! - box[1]!;
  const z = box[5]! - box[2]!;
  return x * y + y * z + z * x;
}

function writeUnion(build: Build, slot: number, firstBin: number, lastBin: number): void {
  build.box.set(EMPTY_BOX);
  for (let bin = firstBin; bin <= lastBin; bin++) growBox(build, bin);
  build.boxes.set(build.box, slot * 6);
}

function partition(
  build: Build,
  range: { readonly from: number; readonly to: number; readonly lastLeft: number },
  { axis, low, scale }: Bins,
): number {
  const { triBoxes: b, order } = build;
  let left = range.from;
  let right = range.to - 1;
  while (left <= right) {
    const i = left * 6 + axis;
    if ((((b[i]! + b[i + 3]! - low) * scale) | 0) <= range.lastLeft) {
      left++;
      continue;
    }
    const j = right * 6 + axis;
    if ((((b[j]! + b[j + 3]! - low) * scale) | 0) <= range.lastLeft) {
      swap(b, order, left, right);
      left++;
    }
    right--;
  }
  return left;
}

function swap(b: Float32Array, order: Uint32Array, left: number, right: number): void {
  for (let i = left * 6, j = right * 6, k = 0; k < 6; k++, i++, j++) {
    const kept = b[i]!;
    b[i] = b[j]!;
    b[j] = kept;
  }
  const tri = order[left]!;
  order[left] = order[right]!;
  order[right] = tri;
}

function cornersInOrder({ positions, triangles }: Mesh, order: Uint32Array): Float64Array {
  const out = new Float64Array(order.length * 9);
  for (let slot = 0, o = 0; slot < order.length; slot++) {
    const t = order[slot]! * 3;
    for (let corner = 0; corner < 3; corner++, o += 3) {
      const v = triangles[t + corner]! * 3;
      out[o] = positions[v]!;
      out[o + 1] = positions[v + 1]!;
      out[o + 2] = positions[v + 2]!;
    }
  }
  return out;
}
