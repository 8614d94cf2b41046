// A bounding-volume tree over the triangles of a mesh, as a few flat buffers: rays and closest points read it.
import type { Mesh } from './mesh.ts';

/** Nodes in depth-first order: the left child of node i is i + 1.
 *  boxes: numNodes x 6 (min xyz, max xyz), single precision, rounded outward.
 *  nodes: numNodes x 2: inner node: right child, split axis; leaf: -(number of triangles), first slot.
 *  slotTri: triangle handle per slot. slotCorners: numTris x 9, the corners in slot order (mm, space of the mesh).
 *  stack: scratch of one query at a time; a tree is not to be shared by two queries running at once. */
export interface BoundingTree {
  readonly kind: 'bounding-tree';
  readonly version: 1;
  readonly boxes: Float32Array;
  readonly nodes: Int32Array;
  readonly slotTri: Uint32Array;
  readonly slotCorners: Float64Array;
  readonly stack: Int32Array;
  readonly stackNear: Float64Array;
}

const LEAF = 4;
const BINS = 12;
/** Deeper than this the split is by the middle of the order, so that the depth stays bounded whatever the input. */
const DEEP = 40;

/** Cost: O(n log n), about one second per million triangles, 150 bytes a triangle. Method: binned surface-area heuristic
 *  (Wald 2007), 12 bins on the widest axis of the centroids; docs/methods/bounding-tree.md. */
export function buildBoundingTree(mesh: Mesh): BoundingTree {
  const build = prepare(mesh);
  const count = build.order.length;
  if (count > 0) buildNode(build, 0, count, 0);
  const numNodes = build.numNodes;
  return {
    kind: 'bounding-tree',
    version: 1,
    boxes: build.boxes.slice(0, numNodes * 6),
    nodes: build.nodes.slice(0, numNodes * 2),
    slotTri: build.order,
    slotCorners: cornersInOrder(mesh, build.order),
    stack: new Int32Array(128),
    stackNear: new Float64Array(128),
  };
}

interface Build {
  readonly order: Uint32Array;
  /** numTris x 6: box of each triangle. */
  readonly triBoxes: Float32Array;
  readonly boxes: Float32Array;
  readonly nodes: Int32Array;
  readonly scratch: Uint32Array;
  readonly binCount: Int32Array;
  readonly binBox: Float64Array;
  readonly rightArea: Float64Array;
  numNodes: number;
}

function prepare(mesh: Mesh): Build {
  const numTriangles = mesh.triangles.length / 3;
  const order = new Uint32Array(numTriangles);
  for (let t = 0; t < numTriangles; t++) order[t] = t;
  const mostNodes = Math.max(1, 2 * numTriangles);
  return {
    order,
    triBoxes: triangleBoxes(mesh),
    boxes: new Float32Array(mostNodes * 6),
    nodes: new Int32Array(mostNodes * 2),
    scratch: new Uint32Array(numTriangles),
    binCount: new Int32Array(BINS),
    binBox: new Float64Array(BINS * 6),
    rightArea: new Float64Array(BINS),
    numNodes: 0,
  };
}

/** Single precision, rounded outward: a box never loses what it holds. */
function triangleBoxes({ positions, triangles }: Mesh): Float32Array {
  const out = new Float32Array(triangles.length * 2);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    for (let axis = 0; axis < 3; axis++) {
      const pa = positions[a + axis]!;
      const pb = positions[b + axis]!;
      const pc = positions[c + axis]!;
      const low = Math.min(pa, pb, pc);
      const high = Math.max(pa, pb, pc);
      const slack = 1.2e-7 * Math.max(Math.abs(low), Math.abs(high)) + 1e-30;
      out[t * 2 + axis] = low - slack;
      out[t * 2 + 3 + axis] = high + slack;
    }
  }
  return out;
}

function buildNode(build: Build, from: number, to: number, depth: number): void {
  const node = build.numNodes++;
  boxOfRange(build, node, from, to);
  const count = to - from;
  if (count <= LEAF) {
    makeLeaf(build, node, from, to);
    return;
  }
  const { axis, middle } = depth > DEEP ? middleSplit(from, to) : bestSplit(build, from, to);
  build.nodes[node * 2 + 1] = axis;
  buildNode(build, from, middle, depth + 1);
  build.nodes[node * 2] = build.numNodes;
  buildNode(build, middle, to, depth + 1);
}

function makeLeaf(build: Build, node: number, from: number, to: number): void {
  build.nodes[node * 2] = from - to;
  build.nodes[node * 2 + 1] = from;
}

function boxOfRange({ boxes, triBoxes, order }: Build, node: number, from: number, to: number): void {
  let [x0, y0, z0] = [Infinity, Infinity, Infinity];
  let [x1, y1, z1] = [-Infinity, -Infinity, -Infinity];
  for (let i = from; i < to; i++) {
    const b = order[i]! * 6;
    if (triBoxes[b]! < x0) x0 = triBoxes[b]!;
    if (triBoxes[b + 1]! < y0) y0 = triBoxes[b + 1]!;
    if (triBoxes[b + 2]! < z0) z0 = triBoxes[b + 2]!;
    if (triBoxes[b + 3]! > x1) x1 = triBoxes[b + 3]!;
    if (triBoxes[b + 4]! > y1) y1 = triBoxes[b + 4]!;
    if (triBoxes[b + 5]! > z1) z1 = triBoxes[b + 5]!;
  }
  boxes.set([x0, y0, z0, x1, y1, z1], node * 6);
}

/** By halves of the order as it stands: always ends, whatever the triangles. */
function middleSplit(from: number, to: number): { axis: number; middle: number } {
  return { axis: 0, middle: (from + to) >> 1 };
}

/** The cheapest of the planes between bins on the widest axis of the box middles; ties in place go half and half. */
function bestSplit(build: Build, from: number, to: number): { axis: number; middle: number } {
  const { triBoxes, order } = build;
  const { axis, low, width } = widestMiddles(build, from, to);
  if (!(width > 0)) return middleSplit(from, to);
  const scale = BINS / width;
  fillBins(build, { from, to, axis, low, scale });
  const cut = cheapestCut(build);
  if (cut < 0) return middleSplit(from, to);
  let left = from;
  let right = 0;
  for (let i = from; i < to; i++) {
    const tri = order[i]!;
    const b = tri * 6 + axis;
    const bin = Math.min(BINS - 1, ((triBoxes[b]! + triBoxes[b + 3]! - low) * scale) | 0);
    if (bin <= cut) order[left++] = tri;
    else build.scratch[right++] = tri;
  }
  order.set(build.scratch.subarray(0, right), left);
  return left === from || left === to ? middleSplit(from, to) : { axis, middle: left };
}

/** Middles are kept doubled (min + max) to save a division. */
function widestMiddles(
  { triBoxes, order }: Build,
  from: number,
  to: number,
): { axis: number; low: number; width: number } {
  let [x0, y0, z0] = [Infinity, Infinity, Infinity];
  let [x1, y1, z1] = [-Infinity, -Infinity, -Infinity];
  for (let i = from; i < to; i++) {
    const b = order[i]! * 6;
    const x = triBoxes[b]! + triBoxes[b + 3]!;
    const y = triBoxes[b + 1]! + triBoxes[b + 4]!;
    const z = triBoxes[b + 2]! + triBoxes[b + 5]!;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
    if (z < z0) z0 = z;
    if (z > z1) z1 = z;
  }
  const [w, d, h] = [x1 - x0, y1 - y0, z1 - z0];
  if (w >= d && w >= h) return { axis: 0, low: x0, width: w };
  return d >= h ? { axis: 1, low: y0, width: d } : { axis: 2, low: z0, width: h };
}

function fillBins(build: Build, range: { from: number; to: number; axis: number; low: number; scale: number }): void {
  const { binCount, binBox, triBoxes, order } = build;
  binCount.fill(0);
  for (let bin = 0; bin < BINS; bin++) {
    for (let c = 0; c < 3; c++) {
      binBox[bin * 6 + c] = Infinity;
      binBox[bin * 6 + 3 + c] = -Infinity;
    }
  }
  for (let i = range.from; i < range.to; i++) {
    const b = order[i]! * 6;
    const doubled = triBoxes[b + range.axis]! + triBoxes[b + range.axis + 3]!;
    const bin = Math.min(BINS - 1, ((doubled - range.low) * range.scale) | 0);
    binCount[bin] = binCount[bin]! + 1;
    const o = bin * 6;
    for (let c = 0; c < 3; c++) {
      if (triBoxes[b + c]! < binBox[o + c]!) binBox[o + c] = triBoxes[b + c]!;
      if (triBoxes[b + 3 + c]! > binBox[o + 3 + c]!) binBox[o + 3 + c] = triBoxes[b + 3 + c]!;
    }
  }
}

function cheapestCut({ binCount, binBox, rightArea }: Build): number {
  const box = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
  let count = 0;
  for (let bin = BINS - 1; bin > 0; bin--) {
    growBox(box, binBox, bin);
    count += binCount[bin]!;
    rightArea[bin] = count === 0 ? 0 : halfArea(box) * count;
  }
  box.splice(0, 6, Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity);
  count = 0;
  let best = -1;
  let bestCost = Infinity;
  for (let bin = 0; bin < BINS - 1; bin++) {
    growBox(box, binBox, bin);
    count += binCount[bin]!;
    if (count === 0 || rightArea[bin + 1] === 0) continue;
    const cost = halfArea(box) * count + rightArea[bin + 1]!;
    if (cost < bestCost) {
      bestCost = cost;
      best = bin;
    }
  }
  return best;
}

function growBox(box: number[], binBox: Float64Array, bin: number): void {
  for (let c = 0; c < 3; c++) {
    box[c] = Math.min(box[c]!, binBox[bin * 6 + c]!);
    box[c + 3] = Math.max(box[c + 3]!, binBox[bin * 6 + 3 + c]!);
  }
}

function halfArea(box: readonly number[]): number {
  const w = box[3]! - box[0]!;
  const d = box[4]! - box[1]!;
  const h = box[5]! - box[2]!;
  return w * d + d * h + h * w;
}

function cornersInOrder({ positions, triangles }: Mesh, order: Uint32Array): Float64Array {
  const out = new Float64Array(order.length * 9);
  for (let slot = 0; slot < order.length; slot++) {
    const t = order[slot]! * 3;
    for (let corner = 0; corner < 3; corner++) {
      const v = triangles[t + corner]! * 3;
      const at = slot * 9 + corner * 3;
      out[at] = positions[v]!;
      out[at + 1] = positions[v + 1]!;
      out[at + 2] = positions[v + 2]!;
    }
  }
  return out;
}
