// Rays against a mesh: the nearest hit, or whether there is any.
import type { BoundingTree } from './bounding-tree.ts';
import { NONE, type Vec3 } from './mesh.ts';

export interface RayHit {
  readonly tri: number;
  /** Distance along the ray in units of the direction's length. */
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

/** Nearest triangle hit from either side, or null. Cost: about O(log n). Method: ordered descent, Moeller and Trumbore 1997 in
 *  double precision with edges counted in, so that no ray slips between two neighbours but for rounding. */
export function raycast(tree: BoundingTree, origin: Vec3, direction: Vec3, options: RayOptions = {}): RayHit | null {
  const hit = { tri: NONE, t: options.to ?? Infinity };
  descend(
    tree,
    [...origin, ...direction],
    { from: options.from ?? 0, skipTri: options.skipTri ?? NONE, stopAtAny: 0 },
    hit,
  );
  return hit.tri === NONE ? null : hit;
}

/** Whether anything is hit between `from` and `to`. */
export function rayHitsAny(tree: BoundingTree, origin: Vec3, direction: Vec3, options: RayOptions = {}): boolean {
  const hit = { tri: NONE, t: options.to ?? Infinity };
  descend(
    tree,
    [...origin, ...direction],
    { from: options.from ?? 0, skipTri: options.skipTri ?? NONE, stopAtAny: 1 },
    hit,
  );
  return hit.tri !== NONE;
}

/** Many rays at once. rays: n x 6 (origin, direction). Writes the nearest triangle (NONE) and distance (Infinity) of each. */
export function raycastMany(
  tree: BoundingTree,
  rays: Float64Array,
  out: { readonly tri: Int32Array; readonly t: Float64Array },
  options: RayOptions = {},
): void {
  const rule: Rule = { from: options.from ?? 0, skipTri: options.skipTri ?? NONE, stopAtAny: 0 };
  const hit = { tri: NONE, t: Infinity };
  const ray = new Float64Array(6);
  for (let i = 0; i < out.tri.length; i++) {
    for (let c = 0; c < 6; c++) ray[c] = rays[i * 6 + c]!;
    hit.tri = NONE;
    hit.t = options.to ?? Infinity;
    descend(tree, ray, rule, hit);
    out.tri[i] = hit.tri;
    out.t[i] = hit.tri === NONE ? Infinity : hit.t;
  }
}

interface Rule {
  readonly from: number;
  readonly skipTri: number;
  /** 1: any hit will do. */
  readonly stopAtAny: 0 | 1;
}

function descend(tree: BoundingTree, ray: ArrayLike<number>, rule: Rule, hit: { tri: number; t: number }): void {
  const { boxes, nodes, slotTri, slotCorners, stack, stackNear } = tree;
  if (nodes.length === 0) return;
  const ox = ray[0]!;
  const oy = ray[1]!;
  const oz = ray[2]!;
  const dx = ray[3]!;
  const dy = ray[4]!;
  const dz = ray[5]!;
  const ix = 1 / dx;
  const iy = 1 / dy;
  const iz = 1 / dz;
  const { from, skipTri, stopAtAny } = rule;
  let best = hit.t;
  let bestTri = NONE;
  let depth = 0;
  let node = 0;
  for (;;) {
    const first = nodes[node * 2]!;
    if (first < 0) {
      const begin = nodes[node * 2 + 1]!;
      for (let slot = begin; slot < begin - first; slot++) {
        const c = slot * 9;
        const ax = slotCorners[c]!;
        const ay = slotCorners[c + 1]!;
        const az = slotCorners[c + 2]!;
        const ux = slotCorners[c + 3]! - ax;
        const uy = slotCorners[c + 4]! - ay;
        const uz = slotCorners[c + 5]! - az;
        const vx = slotCorners[c + 6]! - ax;
        const vy = slotCorners[c + 7]! - ay;
        const vz = slotCorners[c + 8]! - az;
        const px = dy * vz - dz * vy;
        const py = dz * vx - dx * vz;
        const pz = dx * vy - dy * vx;
        const det = ux * px + uy * py + uz * pz;
        if (det === 0) continue;
        const inv = 1 / det;
        const sx = ox - ax;
        const sy = oy - ay;
        const sz = oz - az;
        const u = (sx * px + sy * py + sz * pz) * inv;
        if (u < -1e-12 || u > 1 + 1e-12) continue;
        const qx = sy * uz - sz * uy;
        const qy = sz * ux - sx * uz;
        const qz = sx * uy - sy * ux;
        const v = (dx * qx + dy * qy + dz * qz) * inv;
        if (v < -1e-12 || u + v > 1 + 1e-12) continue;
        const t = (vx * qx + vy * qy + vz * qz) * inv;
        if (t < from || t >= best) continue;
        const tri = slotTri[slot]!;
        if (tri === skipTri) continue;
        best = t;
        bestTri = tri;
      }
      if (stopAtAny === 1 && bestTri !== NONE) break;
    } else {
      let near = node + 1;
      let far = first;
      let tNear = entry(boxes, near * 6, ox, oy, oz, ix, iy, iz, best);
      let tFar = entry(boxes, far * 6, ox, oy, oz, ix, iy, iz, best);
      if (tFar < tNear) {
        const n = near;
        near = far;
        far = n;
        const t = tNear;
        tNear = tFar;
        tFar = t;
      }
      if (tNear !== Infinity) {
        if (tFar !== Infinity) {
          stack[depth] = far;
          stackNear[depth++] = tFar;
        }
        node = near;
        continue;
      }
    }
    let found = NONE;
    while (depth > 0) {
      depth--;
      if (stackNear[depth]! <= best) {
        found = stack[depth]!;
        break;
      }
    }
    if (found === NONE) break;
    node = found;
  }
  hit.tri = bestTri;
  hit.t = best;
}

/** Where the ray enters the box, or Infinity when it misses it within (-tiny, most). NaN of 0 * Infinity counts as inside. */
function entry(
  boxes: Float32Array,
  b: number,
  ox: number,
  oy: number,
  oz: number,
  ix: number,
  iy: number,
  iz: number,
  most: number,
): number {
  let low = 0;
  let high = most;
  const x0 = (boxes[b]! - ox) * ix;
  const x1 = (boxes[b + 3]! - ox) * ix;
  if (x0 < x1) {
    if (x0 > low) low = x0;
    if (x1 < high) high = x1;
  } else {
    if (x1 > low) low = x1;
    if (x0 < high) high = x0;
  }
  const y0 = (boxes[b + 1]! - oy) * iy;
  const y1 = (boxes[b + 4]! - oy) * iy;
  if (y0 < y1) {
    if (y0 > low) low = y0;
    if (y1 < high) high = y1;
  } else {
    if (y1 > low) low = y1;
    if (y0 < high) high = y0;
  }
  const z0 = (boxes[b + 2]! - oz) * iz;
  const z1 = (boxes[b + 5]! - oz) * iz;
  if (z0 < z1) {
    if (z0 > low) low = z0;
    if (z1 < high) high = z1;
  } else {
    if (z1 > low) low = z1;
    if (z0 < high) high = z0;
  }
  return low <= high ? low : Infinity;
}
