// Rays against a mesh: the nearest hit, or whether there is any.
import type { BoundingTree } from './bounding-tree.ts';
import { NONE, type Vec3 } from './mesh.ts';

export interface RayHit {
  readonly tri: number;
  /** Distance along the ray in units of the direction's length: mm when that is a unit vector. */
  readonly t: number;
}

export interface RayOptions {
  /** Hits nearer than this do not count. */
  readonly from?: number;
  /** Hits farther than this do not count. */
  readonly to?: number;
  /** A triangle that does not count, such as the one the ray starts from. */
  readonly skipTri?: number;
}

export const RAY_DEFAULTS: Required<RayOptions> = { from: 0, to: Infinity, skipTri: NONE };

/** Nearest triangle hit from either side, or null. A ray through an edge or vertex of a closed mesh always meets one of the
 *  triangles there; a ray running within a triangle's plane does not meet that triangle. Space: that of the tree's mesh.
 *  Cost: O(log n), some 4 us in a million triangles. Method: nearer child first; sheared edge functions in double precision
 *  (Woop, Benthin, Wald 2013); docs/methods/bounding-tree.md. */
export function raycast(tree: BoundingTree, origin: Vec3, direction: Vec3, options: RayOptions = {}): RayHit | null {
  setRay(tree.scratch, origin, direction);
  const slot = descend(tree, options, 'nearest');
  return slot === NONE ? null : { tri: tree.slotTri[slot]!, t: tree.scratch[HIT_T]! };
}

/** Whether anything is hit between `from` and `to`; cheaper than the nearest hit. */
export function rayHitsAny(tree: BoundingTree, origin: Vec3, direction: Vec3, options: RayOptions = {}): boolean {
  setRay(tree.scratch, origin, direction);
  return descend(tree, options, 'any') !== NONE;
}

/** Many rays at once. rays: n x 6 (origin, direction). Writes the nearest triangle (NONE) and distance (Infinity) of each.
 *  `skipTris` names a triangle per ray that does not count. */
export function raycastMany(
  tree: BoundingTree,
  rays: Float64Array,
  out: { readonly tri: Int32Array; readonly t: Float64Array },
  options: RayOptions & { readonly skipTris?: Int32Array } = {},
): void {
  const { scratch } = tree;
  const rule = { ...RAY_DEFAULTS, ...options };
  for (let i = 0; i < out.tri.length; i++) {
    for (let c = 0; c < 6; c++) scratch[c] = rays[i * 6 + c]!;
    if (options.skipTris !== undefined) rule.skipTri = options.skipTris[i]!;
    const slot = descend(tree, rule, 'nearest');
    out.tri[i] = slot === NONE ? NONE : tree.slotTri[slot]!;
    out.t[i] = slot === NONE ? Infinity : scratch[HIT_T]!;
  }
}

/** scratch 0..2 origin, 3..5 direction, 6 where the hit lies. */
const HIT_T = 6;

function setRay(scratch: Float64Array, origin: Vec3, direction: Vec3): void {
  for (let c = 0; c < 3; c++) {
    scratch[c] = origin[c]!;
    scratch[3 + c] = direction[c]!;
  }
}

/** A zero component becomes so steep a slope that only the side of the box matters, without 0 * Infinity. */
function inverse(d: number): number {
  return Math.abs(d) < 1e-200 ? 1e200 : 1 / d;
}

function steepestAxis(scratch: Float64Array): number {
  const x = Math.abs(scratch[3]!);
  const y = Math.abs(scratch[4]!);
  const z = Math.abs(scratch[5]!);
  return x > y ? (x > z ? 0 : 2) : y > z ? 1 : 2;
}

/** Walks the tree, nearer child first. Returns the slot hit or NONE; its distance stays in scratch[HIT_T]. */
function descend(tree: BoundingTree, options: RayOptions, want: 'nearest' | 'any'): number {
  const { boxes, children, slotCorners, slotTri, stack, stackNear, scratch } = tree;
  const ox = scratch[0]!;
  const oy = scratch[1]!;
  const oz = scratch[2]!;
  const ix = inverse(scratch[3]!);
  const iy = inverse(scratch[4]!);
  const iz = inverse(scratch[5]!);
  const nearX = ix < 0 ? 3 : 0;
  const nearY = iy < 0 ? 4 : 1;
  const nearZ = iz < 0 ? 5 : 2;
  const farX = 3 - nearX;
  const farY = 5 - nearY;
  const farZ = 7 - nearZ;
  const from = options.from ?? 0;
  const skipTri = options.skipTri ?? NONE;
  // Axes of the shear: kz is the one the ray runs along most, and the handedness stays.
  const kz = steepestAxis(scratch);
  const dz = scratch[3 + kz]!;
  const kx = (kz + (dz < 0 ? 2 : 1)) % 3;
  const ky = 3 - kx - kz;
  const sx = scratch[3 + kx]! / dz;
  const sy = scratch[3 + ky]! / dz;
  const okx = scratch[kx]!;
  const oky = scratch[ky]!;
  const okz = scratch[kz]!;
  let best = options.to ?? Infinity;
  let found = NONE;
  let depth = 0;
  let code = 0;
  for (;;) {
    if (code >= 0) {
      let o = code * 12;
      let near = from;
      let far = best;
      let a = (boxes[o + nearX]! - ox) * ix;
      let b = (boxes[o + farX]! - ox) * ix;
      if (a > near) near = a;
      if (b < far) far = b;
      a = (boxes[o + nearY]! - oy) * iy;
      b = (boxes[o + farY]! - oy) * iy;
      if (a > near) near = a;
      if (b < far) far = b;
      a = (boxes[o + nearZ]! - oz) * iz;
      b = (boxes[o + farZ]! - oz) * iz;
      if (a > near) near = a;
      if (b < far) far = b;
      o += 6;
      let near2 = from;
      let far2 = best;
      a = (boxes[o + nearX]! - ox) * ix;
      b = (boxes[o + farX]! - ox) * ix;
      if (a > near2) near2 = a;
      if (b < far2) far2 = b;
      a = (boxes[o + nearY]! - oy) * iy;
      b = (boxes[o + farY]! - oy) * iy;
      if (a > near2) near2 = a;
      if (b < far2) far2 = b;
      a = (boxes[o + nearZ]! - oz) * iz;
      b = (boxes[o + farZ]! - oz) * iz;
      if (a > near2) near2 = a;
      if (b < far2) far2 = b;
      const left = children[code * 2]!;
      const right = children[code * 2 + 1]!;
      if (near <= far) {
        code = left;
        if (near2 <= far2) {
          if (near2 < near) {
            code = right;
            stack[depth] = left;
            stackNear[depth++] = near;
          } else {
            stack[depth] = right;
            stackNear[depth++] = near2;
          }
        }
        continue;
      }
      if (near2 <= far2) {
        code = right;
        continue;
      }
    } else {
      const leaf = ~code;
      const end = (leaf >>> 4) + (leaf & 15);
      for (let slot = leaf >>> 4; slot < end; slot++) {
        const o = slot * 9;
        const az = slotCorners[o + kz]! - okz;
        const bz = slotCorners[o + 3 + kz]! - okz;
        const cz = slotCorners[o + 6 + kz]! - okz;
        const ax = slotCorners[o + kx]! - okx - sx * az;
        const ay = slotCorners[o + ky]! - oky - sy * az;
        const bx = slotCorners[o + 3 + kx]! - okx - sx * bz;
        const by = slotCorners[o + 3 + ky]! - oky - sy * bz;
        const u = ax * by - ay * bx;
        const cx = slotCorners[o + 6 + kx]! - okx - sx * cz;
        const cy = slotCorners[o + 6 + ky]! - oky - sy * cz;
        const v = bx * cy - by * cx;
        const w = cx * ay - cy * ax;
        // The same edge seen from the neighbour gives exactly the opposite number, so no ray slips between the two.
        if ((u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0)) continue;
        const sum = u + v + w;
        if (sum === 0) continue;
        const t = (v * az + w * bz + u * cz) / (sum * dz);
        if (t >= from && (found === NONE ? t <= best : t < best) && slotTri[slot] !== skipTri) {
          best = t;
          found = slot;
        }
      }
      if (found !== NONE && want === 'any') break;
    }
    do {
      if (depth === 0) {
        scratch[HIT_T] = best;
        return found;
      }
      depth--;
    } while (stackNear[depth]! > best);
    code = stack[depth]!;
  }
  scratch[HIT_T] = best;
  return found;
}
