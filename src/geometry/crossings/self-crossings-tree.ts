// Boxes round triangles in the order of a space-filling curve, halved again and again: the quickest way to find which boxes meet.
import { bounds } from '../../mesh/measure.ts';
import type { Mesh } from '../../mesh/mesh.ts';

/** A complete binary tree in an array: node 1 is the root, node i has the children 2i and 2i + 1, the leaves are numLeaves ..
 *  2 * numLeaves - 1. Triangles lie in slots, near ones side by side; leaf k holds the slots from leafStart(k) to before
 *  leafStart(k + 1), at most 4. Boxes are relative to the low corner of the mesh and a little too large, never too small. */
export interface CurveTree {
  readonly numLeaves: number;
  /** The triangle in each slot. */
  readonly triOfSlot: Uint32Array;
  /** Per slot x 6: low corner, high corner. */
  readonly slotBoxes: Float32Array;
  /** 2 * numLeaves x 6. */
  readonly nodeBoxes: Float32Array;
}

const LEAF_TRIS = 4;
const GRID = 65536;
const DIGIT = 4096;

/** A tree over the chosen triangles. Cost: O(n), about 0.4 s and 60 bytes a triangle at 1 million. Method: Morton codes of 3 x 16
 *  bits, radix sort, halving by count (after Lauterbach 2009); docs/methods/self-crossings.md.
 *  Weak: boxes overlap more than with a sorted-out tree, so that single questions (rays) would take longer. */
export function curveTree(mesh: Mesh, tris: Uint32Array): CurveTree {
  const { minMm, maxMm } = bounds(mesh);
  const triOfSlot = inCurveOrder(mesh, tris);
  const size = Math.max(maxMm[0] - minMm[0], maxMm[1] - minMm[1], maxMm[2] - minMm[2]);
  const far = Math.max(...minMm.map(Math.abs), ...maxMm.map(Math.abs));
  // single precision rounds off 2^-24 of the size; taking the corner off rounds off 2^-53 of the farthest coordinate
  const pad = size * 2 ** -22 + far * 2 ** -50;
  const slotBoxes = boxesOf(mesh, triOfSlot, { low: minMm, pad });
  let numLeaves = 1;
  while (numLeaves * LEAF_TRIS < triOfSlot.length) numLeaves *= 2;
  return { numLeaves, triOfSlot, slotBoxes, nodeBoxes: boxesOfNodes(slotBoxes, numLeaves) };
}

/** First slot of a leaf, counted from 0. */
export function leafStart({ triOfSlot, numLeaves }: CurveTree, leaf: number): number {
  return Math.floor((leaf * triOfSlot.length) / numLeaves);
}

interface Frame {
  readonly low: readonly [number, number, number];
  readonly pad: number;
}

function boxesOf({ positions: p, triangles }: Mesh, tris: Uint32Array, { low, pad }: Frame): Float32Array {
  const out = new Float32Array(tris.length * 6);
  for (let slot = 0, o = 0; slot < tris.length; slot++, o += 6) {
    const t = tris[slot]! * 3;
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    for (let k = 0; k < 3; k++) {
      const u = p[a + k]! - low[k]!;
      const v = p[b + k]! - low[k]!;
      const w = p[c + k]! - low[k]!;
      out[o + k] = Math.min(u, v, w) - pad;
      out[o + 3 + k] = Math.max(u, v, w) + pad;
    }
  }
  return out;
}

function boxesOfNodes(slotBoxes: Float32Array, numLeaves: number): Float32Array {
  const count = slotBoxes.length / 6;
  const out = new Float32Array(numLeaves * 12);
  for (let o = 0; o < out.length; o++) out[o] = o % 6 < 3 ? Infinity : -Infinity;
  for (let leaf = 0; leaf < numLeaves; leaf++) {
    const end = Math.floor(((leaf + 1) * count) / numLeaves);
    for (let slot = Math.floor((leaf * count) / numLeaves); slot < end; slot++)
      grow(out, (numLeaves + leaf) * 6, slotBoxes, slot * 6);
  }
  for (let node = 2 * numLeaves - 1; node > 1; node--) grow(out, (node >> 1) * 6, out, node * 6);
  return out;
}

function grow(boxes: Float32Array, at: number, other: Float32Array, from: number): void {
  for (let k = 0; k < 3; k++) {
    if (other[from + k]! < boxes[at + k]!) boxes[at + k] = other[from + k]!;
    if (other[from + 3 + k]! > boxes[at + 3 + k]!) boxes[at + 3 + k] = other[from + 3 + k]!;
  }
}

/** Sorted by the code of the middle of each triangle's box. */
function inCurveOrder(mesh: Mesh, tris: Uint32Array): Uint32Array {
  const { minMm, maxMm } = bounds(mesh);
  const { positions: p, triangles } = mesh;
  const upper = new Uint32Array(tris.length);
  const lower = new Uint32Array(tris.length);
  const bits = spreadBits();
  const size = Math.max(maxMm[0] - minMm[0], maxMm[1] - minMm[1], maxMm[2] - minMm[2]);
  const scale = size > 0 ? ((GRID - 1) * (1 - 1e-9)) / size : 0;
  for (let i = 0; i < tris.length; i++) {
    const t = tris[i]! * 3;
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    let high = 0;
    let low = 0;
    for (let k = 0; k < 3; k++) {
      const middle = (Math.min(p[a + k]!, p[b + k]!, p[c + k]!) + Math.max(p[a + k]!, p[b + k]!, p[c + k]!)) / 2;
      const cell = ((middle - minMm[k]!) * scale) | 0;
      high |= bits[cell >> 8]! << k;
      low |= bits[cell & 255]! << k;
    }
    upper[i] = high;
    lower[i] = low;
  }
  return sortedBy(tris, lower, upper);
}

/** 8 bits, two empty places after each. */
function spreadBits(): Uint32Array {
  return Uint32Array.from({ length: 256 }, (_, x) => {
    let out = 0;
    for (let bit = 0; bit < 8; bit++) out |= ((x >> bit) & 1) << (3 * bit);
    return out;
  });
}

/** Least digit first, 12 bits at a time, four passes over keys of 24 + 24 bits. */
function sortedBy(tris: Uint32Array, lower: Uint32Array, upper: Uint32Array): Uint32Array {
  let from = new Uint32Array(tris.length);
  for (let i = 0; i < from.length; i++) from[i] = i;
  let to = new Uint32Array(tris.length);
  const start = new Uint32Array(DIGIT + 1);
  for (const keys of [lower, upper])
    for (const shift of [0, 12]) {
      start.fill(0);
      for (let i = 0; i < keys.length; i++) start[((keys[i]! >> shift) & (DIGIT - 1)) + 1]!++;
      for (let d = 0; d < DIGIT; d++) start[d + 1] = start[d + 1]! + start[d]!;
      for (let i = 0; i < from.length; i++) {
        const item = from[i]!;
        const digit = (keys[item]! >> shift) & (DIGIT - 1);
        to[start[digit]!] = item;
        start[digit] = start[digit]! + 1;
      }
      [from, to] = [to, from];
    }
  return from.map((i) => tris[i]!);
}
