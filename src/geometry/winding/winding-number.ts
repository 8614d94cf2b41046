// How often a surface winds round a point: inside and outside for meshes that are open, doubled or cross themselves.
import { QUIET_WORK, type Work } from '../../base/work.ts';
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { MOMENTS, surfaceMoments } from './winding-moments.ts';

/** A bounding tree with what a far point needs to know of each of its nodes. One search at a time, as the tree itself. */
export interface WindingTree {
  readonly kind: 'winding-tree';
  readonly tree: BoundingTree;
  /** numNodes x {@link MOMENTS}. */
  readonly moments: Float64Array;
  /** Per node: its moments serve points farther than this from its middle, mm2 (squared). */
  readonly near2: Float64Array;
}

/** The paper's 2 leaves up to 5e-3 inside a ball; 3.2 stays below 1e-3 and costs about twice the time. */
export const WINDING_DEFAULTS = { beta: 3.2 } as const;

const FULL = 1 / (4 * Math.PI);

/** Winding number at each of n points (n x 3): 1 inside a closed surface that faces outward, 0 outside, 2 inside a doubled one,
 *  in between where the surface is open; on the surface itself the value jumps by 1 and either side may be given. Unitless.
 *  Cost: O(n * numTris), about 60 ns a pair. Source: Jacobson, Kavan, Sorkine-Hornung 2013; solid angle of a triangle by
 *  Van Oosterom, Strackee 1983. Weak: slow; use {@link windingFast}. */
export function windingExact(mesh: Mesh, points: Float64Array, work: Work = QUIET_WORK): Float64Array {
  const corners = cornersOf(mesh);
  const out = new Float64Array(points.length / 3);
  for (let i = 0; i < out.length; i++) {
    work.tick(i / out.length, 'counting turns round points');
    let half = 0;
    for (let o = 0; o < corners.length; o += 9) {
      half += halfAngle(corners, o, points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!);
    }
    out[i] = 2 * half * FULL;
  }
  return out;
}

/** Prepares {@link windingFast}. `beta`: how many radii away a node counts as far; larger is slower and closer to exact.
 *  Cost: O(n log n), under a second and about 90 MB per million triangles beside the bounding tree. */
export function buildWindingTree(tree: BoundingTree, options: { readonly beta?: number } = {}): WindingTree {
  const { moments, radius2 } = surfaceMoments(tree);
  const beta = options.beta ?? WINDING_DEFAULTS.beta;
  for (let node = 0; node < radius2.length; node++) radius2[node] = radius2[node]! * beta * beta;
  return { kind: 'winding-tree', tree, moments, near2: radius2 };
}

/** Winding number at a point, within 1e-3 of exact a shell (mostly 2e-4). Cost: O(log n), some microseconds. Method: a node farther away
 *  than beta times its radius answers by the Taylor series of its solid angle to second order, near triangles exactly;
 *  Barill, Dickson, Schmidt, Levin, Jacobson 2018; docs/methods/winding-number.md. */
export function windingFast(winding: WindingTree, x: number, y: number, z: number): number {
  const { tree, moments: m, near2 } = winding;
  const { children, stack, slotCorners } = tree;
  let half = 0;
  let far = 0;
  let depth = 0;
  let code = 0;
  for (;;) {
    if (code >= 0) {
      const o = code * MOMENTS;
      const dx = m[o]! - x;
      const dy = m[o + 1]! - y;
      const dz = m[o + 2]! - z;
      const r2 = dx * dx + dy * dy + dz * dz;
      if (r2 <= near2[code]!) {
        stack[depth++] = children[code * 2 + 1]!;
        code = children[code * 2]!;
        continue;
      }
      const by2 = 1 / r2;
      const first = m[o + 3]! * dx + m[o + 4]! * dy + m[o + 5]! * dz;
      const second =
        dx * (m[o + 6]! * dx + m[o + 7]! * dy + m[o + 8]! * dz) +
        dy * (m[o + 9]! * dy + m[o + 10]! * dz) +
        m[o + 11]! * dz * dz;
      const third =
        dx * (dx * (m[o + 12]! * dx + m[o + 13]! * dy + m[o + 14]! * dz) + dy * (m[o + 15]! * dy + m[o + 16]! * dz)) +
        dz * (m[o + 17]! * dx * dz + m[o + 18]! * dy * dz + m[o + 19]! * dz * dz + m[o + 20]! * dy * dy) +
        m[o + 21]! * dy * dy * dy;
      far += by2 * Math.sqrt(by2) * (first + by2 * (second + by2 * third));
    } else {
      const leaf = ~code;
      const end = ((leaf >>> 4) + (leaf & 15)) * 9;
      for (let at = (leaf >>> 4) * 9; at < end; at += 9) half += halfAngle(slotCorners, at, x, y, z);
    }
    if (depth === 0) return far + 2 * half * FULL;
    code = stack[--depth]!;
  }
}

/** {@link windingFast} at n points (n x 3). */
export function windingFastMany(winding: WindingTree, points: Float64Array, work: Work = QUIET_WORK): Float64Array {
  const out = new Float64Array(points.length / 3);
  for (let i = 0; i < out.length; i++) {
    if ((i & 1023) === 0) work.tick(i / out.length, 'counting turns round points');
    out[i] = windingFast(winding, points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!);
  }
  return out;
}

/** Half the solid angle of a triangle: tan = det[a b c] / (|a||b||c| + (a.b)|c| + (b.c)|a| + (c.a)|b|). */
function halfAngle(corners: Float64Array, o: number, x: number, y: number, z: number): number {
  const ax = corners[o]! - x;
  const ay = corners[o + 1]! - y;
  const az = corners[o + 2]! - z;
  const bx = corners[o + 3]! - x;
  const by = corners[o + 4]! - y;
  const bz = corners[o + 5]! - z;
  const cx = corners[o + 6]! - x;
  const cy = corners[o + 7]! - y;
  const cz = corners[o + 8]! - z;
  const a = Math.sqrt(ax * ax + ay * ay + az * az);
  const b = Math.sqrt(bx * bx + by * by + bz * bz);
  const c = Math.sqrt(cx * cx + cy * cy + cz * cz);
  const volume = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
  if (volume === 0) return 0;
  const ab = ax * bx + ay * by + az * bz;
  const bc = bx * cx + by * cy + bz * cz;
  const ca = cx * ax + cy * ay + cz * az;
  return Math.atan2(volume, a * b * c + ab * c + bc * a + ca * b);
}

function cornersOf(mesh: Mesh): Float64Array {
  const { positions, triangles } = mesh;
  const out = new Float64Array(numTris(mesh) * 9);
  for (let h = 0; h < triangles.length; h++) {
    const v = triangles[h]! * 3;
    for (let k = 0; k < 3; k++) out[h * 3 + k] = positions[v + k]!;
  }
  return out;
}
