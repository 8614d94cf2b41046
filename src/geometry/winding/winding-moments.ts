// What the solid angle of many triangles looks like from afar: moments of their area vectors about a middle, for every tree node.
import type { BoundingTree } from '../../mesh/bounding-tree.ts';

/** Numbers a node: middle xyz, then what multiplies r (3), r r (6: xx xy xz yy yz zz) and r r r
 *  (10: xxx xxy xxz xyy xyz | xzz yzz zzz yyz | yyy), r from the point to the middle. */
export const MOMENTS = 22;

export interface SurfaceMoments {
  /** numNodes x {@link MOMENTS}; divided by 4 pi and with the factors of the series taken in. */
  readonly moments: Float64Array;
  /** Per node: squared distance from its middle to its farthest corner, mm2. */
  readonly radius2: Float64Array;
}

/** With x a point of the surface, d = x - middle and n dA its area vector: A = int n dA, Q = sym int d n dA, S = sym int d d n dA,
 *  both freed of their traces, which the series of r/|r|^3 does not see. Then 4 pi w = A.r/r^3 - 3 Q(r,r)/r^5 + 7.5 S(r,r,r)/r^7.
 *  Integrals over triangles are exact. Cost: O(n), children before parents (a child's number is larger than its parent's). */
export function surfaceMoments(tree: BoundingTree): SurfaceMoments {
  const numNodes = tree.children.length / 2;
  const moments = new Float64Array(numNodes * MOMENTS);
  const radius2 = new Float64Array(numNodes);
  const raw = {
    sums: moments,
    areas: new Float64Array(numNodes),
    first: new Uint32Array(numNodes),
    end: new Uint32Array(numNodes),
  };
  for (let node = numNodes - 1; node >= 0; node--) {
    spanOf(tree, raw, node);
    middleOf(tree, raw, node);
    for (let child = 0; child < 2; child++) addChild(tree, moments, node, tree.children[node * 2 + child]!);
    radius2[node] = farthest2(tree.slotCorners, moments, {
      at: node * MOMENTS,
      first: raw.first[node]!,
      end: raw.end[node]!,
    });
  }
  for (let node = 0; node < numNodes; node++) takeFactorsIn(moments, node * MOMENTS);
  return { moments, radius2 };
}

interface Raw {
  readonly sums: Float64Array;
  readonly areas: Float64Array;
  /** Slots below a node. */
  readonly first: Uint32Array;
  readonly end: Uint32Array;
}

function spanOf({ children }: BoundingTree, { first, end }: Raw, node: number): void {
  let low = 0xffffffff;
  let high = 0;
  for (let child = 0; child < 2; child++) {
    const code = children[node * 2 + child]!;
    const from = code >= 0 ? first[code]! : ~code >>> 4;
    const to = code >= 0 ? end[code]! : (~code >>> 4) + (~code & 15);
    if (from === to) continue;
    low = Math.min(low, from);
    high = Math.max(high, to);
  }
  first[node] = Math.min(low, high);
  end[node] = high;
}

/** The middle by area of the triangles below a node. */
function middleOf({ children, slotCorners: p }: BoundingTree, { sums, areas }: Raw, node: number): void {
  let [area, x, y, z] = [0, 0, 0, 0];
  for (let child = 0; child < 2; child++) {
    const code = children[node * 2 + child]!;
    if (code >= 0) {
      const share = areas[code]!;
      const o = code * MOMENTS;
      area += share;
      x += share * sums[o]!;
      y += share * sums[o + 1]!;
      z += share * sums[o + 2]!;
      continue;
    }
    const end = ((~code >>> 4) + (~code & 15)) * 9;
    for (let o = (~code >>> 4) * 9; o < end; o += 9) {
      const share = twiceArea(p, o) + 1e-300;
      area += share;
      x += (share * (p[o]! + p[o + 3]! + p[o + 6]!)) / 3;
      y += (share * (p[o + 1]! + p[o + 4]! + p[o + 7]!)) / 3;
      z += (share * (p[o + 2]! + p[o + 5]! + p[o + 8]!)) / 3;
    }
  }
  areas[node] = area;
  sums[node * MOMENTS] = area > 0 ? x / area : 0;
  sums[node * MOMENTS + 1] = area > 0 ? y / area : 0;
  sums[node * MOMENTS + 2] = area > 0 ? z / area : 0;
}

const vector = new Float64Array(3);

/** Leaves the area vector, doubled, in `vector`. */
function twiceArea(p: Float64Array, o: number): number {
  const ux = p[o + 3]! - p[o]!;
  const uy = p[o + 4]! - p[o + 1]!;
  const uz = p[o + 5]! - p[o + 2]!;
  const vx = p[o + 6]! - p[o]!;
  const vy = p[o + 7]! - p[o + 1]!;
  const vz = p[o + 8]! - p[o + 2]!;
  vector[0] = uy * vz - uz * vy;
  vector[1] = uz * vx - ux * vz;
  vector[2] = ux * vy - uy * vx;
  return Math.sqrt(vector[0]! * vector[0]! + vector[1]! * vector[1]! + vector[2]! * vector[2]!);
}

function addChild(tree: BoundingTree, m: Float64Array, node: number, code: number): void {
  if (code >= 0) {
    addShifted(m, node * MOMENTS, code * MOMENTS);
    return;
  }
  const end = ((~code >>> 4) + (~code & 15)) * 9;
  for (let o = (~code >>> 4) * 9; o < end; o += 9) addTriangle(m, node * MOMENTS, tree.slotCorners, o);
}

/** int d dA = area * mean corner; int d d dA = area / 12 * (sum of corner corner + 9 mean mean). */
function addTriangle(m: Float64Array, at: number, p: Float64Array, o: number): void {
  twiceArea(p, o);
  const a = [vector[0]! / 2, vector[1]! / 2, vector[2]! / 2] as const;
  const c = [0, 0, 0];
  for (let k = 0; k < 3; k++) c[k] = (p[o + k]! + p[o + 3 + k]! + p[o + 6 + k]!) / 3 - m[at + k]!;
  const dd = (i: number, j: number): number => {
    const [ci, cj] = [m[at + i]!, m[at + j]!];
    let sum = 9 * c[i]! * c[j]!;
    for (let corner = 0; corner < 9; corner += 3) sum += (p[o + corner + i]! - ci) * (p[o + corner + j]! - cj);
    return sum / 12;
  };
  const [xx, xy, xz, yy, yz, zz] = [dd(0, 0), dd(0, 1), dd(0, 2), dd(1, 1), dd(1, 2), dd(2, 2)];
  const [x, y, z] = a;
  m[at + 3]! += x;
  m[at + 4]! += y;
  m[at + 5]! += z;
  m[at + 6]! += c[0]! * x;
  m[at + 7]! += (c[0]! * y + c[1]! * x) / 2;
  m[at + 8]! += (c[0]! * z + c[2]! * x) / 2;
  m[at + 9]! += c[1]! * y;
  m[at + 10]! += (c[1]! * z + c[2]! * y) / 2;
  m[at + 11]! += c[2]! * z;
  m[at + 12]! += xx * x;
  m[at + 13]! += (2 * xy * x + xx * y) / 3;
  m[at + 14]! += (2 * xz * x + xx * z) / 3;
  m[at + 15]! += (2 * xy * y + yy * x) / 3;
  m[at + 16]! += (xy * z + xz * y + yz * x) / 3;
  m[at + 17]! += (2 * xz * z + zz * x) / 3;
  m[at + 18]! += (2 * yz * z + zz * y) / 3;
  m[at + 19]! += zz * z;
  m[at + 20]! += (2 * yz * y + yy * z) / 3;
  m[at + 21]! += yy * y;
}

/** The moments of a child about another middle: d grows by s. */
function addShifted(m: Float64Array, at: number, from: number): void {
  const sx = m[from]! - m[at]!;
  const sy = m[from + 1]! - m[at + 1]!;
  const sz = m[from + 2]! - m[at + 2]!;
  const ax = m[from + 3]!;
  const ay = m[from + 4]!;
  const az = m[from + 5]!;
  const xx = m[from + 6]!;
  const xy = m[from + 7]!;
  const xz = m[from + 8]!;
  const yy = m[from + 9]!;
  const yz = m[from + 10]!;
  const zz = m[from + 11]!;
  for (let k = 3; k < MOMENTS; k++) m[at + k]! += m[from + k]!;
  m[at + 6]! += sx * ax;
  m[at + 7]! += (sx * ay + sy * ax) / 2;
  m[at + 8]! += (sx * az + sz * ax) / 2;
  m[at + 9]! += sy * ay;
  m[at + 10]! += (sy * az + sz * ay) / 2;
  m[at + 11]! += sz * az;
  const t = 2 / 3;
  m[at + 12]! += 2 * sx * xx + sx * sx * ax;
  m[at + 13]! += t * (2 * sx * xy + sy * xx) + (2 * sx * sy * ax + sx * sx * ay) / 3;
  m[at + 14]! += t * (2 * sx * xz + sz * xx) + (2 * sx * sz * ax + sx * sx * az) / 3;
  m[at + 15]! += t * (2 * sy * xy + sx * yy) + (2 * sx * sy * ay + sy * sy * ax) / 3;
  m[at + 16]! += t * (sx * yz + sy * xz + sz * xy) + (sx * sy * az + sx * sz * ay + sy * sz * ax) / 3;
  m[at + 17]! += t * (2 * sz * xz + sx * zz) + (2 * sx * sz * az + sz * sz * ax) / 3;
  m[at + 18]! += t * (2 * sz * yz + sy * zz) + (2 * sy * sz * az + sz * sz * ay) / 3;
  m[at + 19]! += 2 * sz * zz + sz * sz * az;
  m[at + 20]! += t * (2 * sy * yz + sz * yy) + (2 * sy * sz * ay + sy * sy * az) / 3;
  m[at + 21]! += 2 * sy * yy + sy * sy * ay;
}

function farthest2(
  p: Float64Array,
  m: Float64Array,
  span: { readonly at: number; readonly first: number; readonly end: number },
): number {
  const x = m[span.at]!;
  const y = m[span.at + 1]!;
  const z = m[span.at + 2]!;
  let most = 0;
  for (let o = span.first * 9; o < span.end * 9; o += 3) {
    const dx = p[o]! - x;
    const dy = p[o + 1]! - y;
    const dz = p[o + 2]! - z;
    most = Math.max(most, dx * dx + dy * dy + dz * dz);
  }
  return most;
}

/** Frees Q and S of their traces and multiplies each term's factor, and how often it stands in the product, into its number. */
function takeFactorsIn(m: Float64Array, at: number): void {
  const full = 1 / (4 * Math.PI);
  const trace = (m[at + 6]! + m[at + 9]! + m[at + 11]!) / 3;
  const tx = (m[at + 12]! + m[at + 15]! + m[at + 17]!) / 5;
  const ty = (m[at + 13]! + m[at + 21]! + m[at + 18]!) / 5;
  const tz = (m[at + 14]! + m[at + 20]! + m[at + 19]!) / 5;
  for (let k = 3; k < 6; k++) m[at + k]! *= full;
  for (const k of [6, 9, 11]) m[at + k] = -3 * full * (m[at + k]! - trace);
  for (const k of [7, 8, 10]) m[at + k]! *= -6 * full;
  const third = 7.5 * full;
  m[at + 12] = third * (m[at + 12]! - 3 * tx);
  m[at + 13] = 3 * third * (m[at + 13]! - ty);
  m[at + 14] = 3 * third * (m[at + 14]! - tz);
  m[at + 15] = 3 * third * (m[at + 15]! - tx);
  m[at + 16]! *= 6 * third;
  m[at + 17] = 3 * third * (m[at + 17]! - tx);
  m[at + 18] = 3 * third * (m[at + 18]! - ty);
  m[at + 19] = third * (m[at + 19]! - 3 * tz);
  m[at + 20] = 3 * third * (m[at + 20]! - tz);
  m[at + 21] = third * (m[at + 21]! - 3 * ty);
}
