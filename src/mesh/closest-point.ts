// The point of a mesh nearest to a given point.
import type { BoundingTree } from './bounding-tree.ts';
import { type Mesh, NONE, type Vec3 } from './mesh.ts';

export interface Closest {
  readonly tri: number;
  readonly distanceMm: number;
  readonly atMm: Vec3;
}

/** Null for an empty mesh or when nothing lies within `withinMm`. Cost: O(log n) near the surface, more where many triangles are
 *  about equally near, as at the middle of a ball. Method: nearer box first, closest point on a triangle by its regions
 *  (Ericson, Real-Time Collision Detection, 5.1.5); docs/methods/bounding-tree.md. */
export function closestPoint(tree: BoundingTree, point: Vec3, withinMm = Infinity): Closest | null {
  const { scratch } = tree;
  for (let c = 0; c < 3; c++) scratch[c] = point[c]!;
  const slot = search(tree, withinMm * withinMm);
  if (slot === NONE) return null;
  return {
    tri: tree.slotTri[slot]!,
    distanceMm: Math.sqrt(scratch[6]!),
    atMm: [scratch[3]!, scratch[4]!, scratch[5]!],
  };
}

/** Many points at once. points: n x 3. Writes triangle (NONE), distance (Infinity) and, if given, the nearest point (n x 3, NaN).
 *  Points farther than `withinMm` from the surface get the values in brackets and cost less. */
export function closestPoints(
  tree: BoundingTree,
  points: Float64Array,
  out: { readonly tri: Int32Array; readonly distanceMm: Float64Array; readonly atMm?: Float64Array },
  options: { readonly withinMm?: number } = {},
): void {
  const { scratch } = tree;
  const most = (options.withinMm ?? Infinity) ** 2;
  for (let i = 0; i < out.tri.length; i++) {
    for (let c = 0; c < 3; c++) scratch[c] = points[i * 3 + c]!;
    const slot = search(tree, most);
    out.tri[i] = slot === NONE ? NONE : tree.slotTri[slot]!;
    out.distanceMm[i] = slot === NONE ? Infinity : Math.sqrt(scratch[6]!);
    if (out.atMm === undefined) continue;
    for (let c = 0; c < 3; c++) out.atMm[i * 3 + c] = slot === NONE ? Number.NaN : scratch[3 + c]!;
  }
}

/** The point of one triangle nearest to a given point. For a few; many at once go by the tree. */
export function closestOfTriangle({ positions, triangles }: Mesh, tri: number, point: Vec3): Vec3 {
  const corners = new Float64Array(9);
  for (let c = 0; c < 3; c++) {
    const v = triangles[tri * 3 + c]! * 3;
    corners.set(positions.subarray(v, v + 3), c * 3);
  }
  const scratch = new Float64Array(16);
  scratch.set(point);
  triangleDistance2(corners, 0, scratch);
  return [scratch[7]!, scratch[8]!, scratch[9]!];
}

/** scratch 0..2 the point asked about; leaves 3..5 the point found and 6 the squared distance. Returns the slot. */
function search(tree: BoundingTree, most: number): number {
  const { boxes, children, stack, stackNear, scratch } = tree;
  const x = scratch[0]!;
  const y = scratch[1]!;
  const z = scratch[2]!;
  let best = most;
  let found = NONE;
  let depth = 0;
  let code = 0;
  for (;;) {
    if (code >= 0) {
      const o = code * 12;
      const near = boxDistance2(boxes, o, x, y, z);
      const near2 = boxDistance2(boxes, o + 6, x, y, z);
      const left = children[code * 2]!;
      const right = children[code * 2 + 1]!;
      if (near <= near2) {
        if (near2 < best) {
          stack[depth] = right;
          stackNear[depth++] = near2;
        }
        if (near < best) {
          code = left;
          continue;
        }
      } else {
        if (near < best) {
          stack[depth] = left;
          stackNear[depth++] = near;
        }
        if (near2 < best) {
          code = right;
          continue;
        }
      }
    } else {
      const leaf = ~code;
      const end = (leaf >>> 4) + (leaf & 15);
      for (let slot = leaf >>> 4; slot < end; slot++) {
        const distance2 = triangleDistance2(tree.slotCorners, slot * 9, scratch);
        if (distance2 < best) {
          best = distance2;
          found = slot;
          scratch[3] = scratch[7]!;
          scratch[4] = scratch[8]!;
          scratch[5] = scratch[9]!;
        }
      }
    }
    do {
      if (depth === 0) {
        scratch[6] = best;
        return found;
      }
      depth--;
    } while (stackNear[depth]! >= best);
    code = stack[depth]!;
  }
}

function boxDistance2(boxes: Float32Array, o: number, x: number, y: number, z: number): number {
  const lowX = boxes[o]! - x;
  const lowY = boxes[o + 1]! - y;
  const lowZ = boxes[o + 2]! - z;
  const highX = x - boxes[o + 3]!;
  const highY = y - boxes[o + 4]!;
  const highZ = z - boxes[o + 5]!;
  let sum = 0;
  if (lowX > 0) sum = lowX * lowX;
  else if (highX > 0) sum = highX * highX;
  if (lowY > 0) sum += lowY * lowY;
  else if (highY > 0) sum += highY * highY;
  if (lowZ > 0) sum += lowZ * lowZ;
  else if (highZ > 0) sum += highZ * highZ;
  return sum;
}

/** Squared distance from scratch 0..2 to the triangle at o; leaves its nearest point in scratch 7..9. The triangle's point is
 *  a + v*ab + w*ac; which of its seven regions (corners, edges, inside) holds it is read from signs of dot products. */
export function triangleDistance2(corners: Float64Array, o: number, scratch: Float64Array): number {
  const ax = corners[o]!;
  const ay = corners[o + 1]!;
  const az = corners[o + 2]!;
  const abx = corners[o + 3]! - ax;
  const aby = corners[o + 4]! - ay;
  const abz = corners[o + 5]! - az;
  const acx = corners[o + 6]! - ax;
  const acy = corners[o + 7]! - ay;
  const acz = corners[o + 8]! - az;
  const apx = scratch[0]! - ax;
  const apy = scratch[1]! - ay;
  const apz = scratch[2]! - az;
  const d1 = abx * apx + aby * apy + abz * apz;
  const d2 = acx * apx + acy * apy + acz * apz;
  const bb = abx * abx + aby * aby + abz * abz;
  const bc = abx * acx + aby * acy + abz * acz;
  const cc = acx * acx + acy * acy + acz * acz;
  const d3 = d1 - bb;
  const d4 = d2 - bc;
  const d5 = d1 - bc;
  const d6 = d2 - cc;
  const vc = d1 * d4 - d3 * d2;
  const vb = d5 * d2 - d1 * d6;
  const va = d3 * d6 - d5 * d4;
  let v = 0;
  let w = 0;
  if (d1 <= 0 && d2 <= 0) {
    // corner a
  } else if (d3 >= 0 && d4 <= d3) {
    v = 1;
  } else if (d6 >= 0 && d5 <= d6) {
    w = 1;
  } else if (vc <= 0 && d1 >= 0 && d3 <= 0) {
    v = d1 / (d1 - d3);
  } else if (vb <= 0 && d2 >= 0 && d6 <= 0) {
    w = d2 / (d2 - d6);
  } else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    w = (d4 - d3) / (d4 - d3 + (d5 - d6));
    v = 1 - w;
  } else {
    const sum = va + vb + vc;
    v = vb / sum;
    w = vc / sum;
  }
  const x = apx - v * abx - w * acx;
  const y = apy - v * aby - w * acy;
  const z = apz - v * abz - w * acz;
  scratch[7] = ax + v * abx + w * acx;
  scratch[8] = ay + v * aby + w * acy;
  scratch[9] = az + v * abz + w * acz;
  return x * x + y * y + z * z;
}
