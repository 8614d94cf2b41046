// The point of a mesh nearest to a given point.
import type { BoundingTree } from './bounding-tree.ts';
import { NONE, type Vec3 } from './mesh.ts';

export interface Closest {
  readonly tri: number;
  readonly distanceMm: number;
  readonly atMm: Vec3;
}

/** Null for an empty mesh or when nothing lies within `withinMm`. Cost: about O(log n) near the surface.
 *  Method: nearest box first, closest point on a triangle by Voronoi regions (Ericson, Real-Time Collision Detection, 5.1.5). */
export function closestPoint(tree: BoundingTree, point: Vec3, withinMm = Infinity): Closest | null {
  const found = { tri: NONE, squared: withinMm * withinMm, x: 0, y: 0, z: 0 };
  search(tree, point[0], point[1], point[2], found);
  if (found.tri === NONE) return null;
  return { tri: found.tri, distanceMm: Math.sqrt(found.squared), atMm: [found.x, found.y, found.z] };
}

/** Many points at once. points: n x 3. Writes triangle (NONE), distance and, if given, the nearest point (n x 3). */
export function closestPoints(
  tree: BoundingTree,
  points: Float64Array,
  out: { readonly tri: Int32Array; readonly distanceMm: Float64Array; readonly atMm?: Float64Array },
): void {
  const found = { tri: NONE, squared: Infinity, x: 0, y: 0, z: 0 };
  for (let i = 0; i < out.tri.length; i++) {
    found.tri = NONE;
    found.squared = Infinity;
    search(tree, points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!, found);
    out.tri[i] = found.tri;
    out.distanceMm[i] = Math.sqrt(found.squared);
    if (out.atMm === undefined) continue;
    out.atMm[i * 3] = found.x;
    out.atMm[i * 3 + 1] = found.y;
    out.atMm[i * 3 + 2] = found.z;
  }
}

interface Found {
  tri: number;
  squared: number;
  x: number;
  y: number;
  z: number;
}

function search(tree: BoundingTree, px: number, py: number, pz: number, found: Found): void {
  const { boxes, nodes, slotTri, slotCorners, stack, stackNear } = tree;
  if (nodes.length === 0) return;
  let depth = 0;
  let node = 0;
  for (;;) {
    const first = nodes[node * 2]!;
    if (first < 0) {
      const begin = nodes[node * 2 + 1]!;
      for (let slot = begin; slot < begin - first; slot++) {
        const before = found.squared;
        nearestOnTriangle(slotCorners, slot * 9, px, py, pz, found);
        if (found.squared < before) found.tri = slotTri[slot]!;
      }
    } else {
      let near = node + 1;
      let far = first;
      let dNear = boxDistance(boxes, near * 6, px, py, pz);
      let dFar = boxDistance(boxes, far * 6, px, py, pz);
      if (dFar < dNear) {
        const n = near;
        near = far;
        far = n;
        const d = dNear;
        dNear = dFar;
        dFar = d;
      }
      if (dNear < found.squared) {
        if (dFar < found.squared) {
          stack[depth] = far;
          stackNear[depth++] = dFar;
        }
        node = near;
        continue;
      }
    }
    let next = NONE;
    while (depth > 0) {
      depth--;
      if (stackNear[depth]! < found.squared) {
        next = stack[depth]!;
        break;
      }
    }
    if (next === NONE) return;
    node = next;
  }
}

function boxDistance(boxes: Float32Array, b: number, px: number, py: number, pz: number): number {
  const x = px < boxes[b]! ? boxes[b]! - px : px > boxes[b + 3]! ? px - boxes[b + 3]! : 0;
  const y = py < boxes[b + 1]! ? boxes[b + 1]! - py : py > boxes[b + 4]! ? py - boxes[b + 4]! : 0;
  const z = pz < boxes[b + 2]! ? boxes[b + 2]! - pz : pz > boxes[b + 5]! ? pz - boxes[b + 5]! : 0;
  return x * x + y * y + z * z;
}

function nearestOnTriangle(corners: Float64Array, c: number, px: number, py: number, pz: number, found: Found): void {
  const ax = corners[c]!;
  const ay = corners[c + 1]!;
  const az = corners[c + 2]!;
  const ux = corners[c + 3]! - ax;
  const uy = corners[c + 4]! - ay;
  const uz = corners[c + 5]! - az;
  const vx = corners[c + 6]! - ax;
  const vy = corners[c + 7]! - ay;
  const vz = corners[c + 8]! - az;
  const wx = px - ax;
  const wy = py - ay;
  const wz = pz - az;
  const d1 = ux * wx + uy * wy + uz * wz;
  const d2 = vx * wx + vy * wy + vz * wz;
  const uu = ux * ux + uy * uy + uz * uz;
  const uv = ux * vx + uy * vy + uz * vz;
  const vv = vx * vx + vy * vy + vz * vz;
  // Coordinates of the nearest point: a + s u + t v.
  let s = 0;
  let t = 0;
  if (d1 > 0 || d2 > 0) {
    const d3 = d1 - uu;
    const d4 = d2 - uv;
    const d5 = d1 - uv;
    const d6 = d2 - vv;
    const vc = d1 * d4 - d3 * d2;
    const vb = d5 * d2 - d1 * d6;
    const va = d3 * d6 - d5 * d4;
    if (d3 >= 0 && d4 <= d3) s = 1;
    else if (d6 >= 0 && d5 <= d6) t = 1;
    else if (vc <= 0 && d1 >= 0 && d3 <= 0) s = d1 === d3 ? 0 : d1 / (d1 - d3);
    else if (vb <= 0 && d2 >= 0 && d6 <= 0) t = d2 === d6 ? 0 : d2 / (d2 - d6);
    else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
      const span = d4 - d3 + (d5 - d6);
      t = span === 0 ? 0 : (d4 - d3) / span;
      s = 1 - t;
    } else {
      const inv = 1 / (va + vb + vc);
      s = vb * inv;
      t = vc * inv;
    }
  }
  const x = ax + s * ux + t * vx;
  const y = ay + s * uy + t * vy;
  const z = az + s * uz + t * vz;
  const squared = (px - x) * (px - x) + (py - y) * (py - y) + (pz - z) * (pz - z);
  if (squared >= found.squared) return;
  found.squared = squared;
  found.x = x;
  found.y = y;
  found.z = z;
}
