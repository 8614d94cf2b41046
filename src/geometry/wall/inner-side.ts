// Which side of a wall looks into the hollow and which looks out.
import { QUIET_WORK, type Work } from '../../base/work.ts';
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { halfEdgeTwins } from '../../mesh/half-edges.ts';
import { areaNormals, bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, NONE } from '../../mesh/mesh.ts';
import { raycastMany } from '../../mesh/ray.ts';
import { carryOver } from './carry-over.ts';
import { areasOf, chooseByArea } from './choose-by-area.ts';

export const OUTER_SIDE = 0;
export const INNER_SIDE = 1;
/** Neither: a rim, or a place that cannot be told. */
export const BETWEEN_SIDES = 2;

export const SIDE_DEFAULTS = {
  /** Triangles that look round; the others take over the answer of the nearest. */
  mostLooking: 20_000,
  numRays: 24,
  /** The inner side is open at most this share as far as the other side of its wall. */
  innerShare: 0.8,
  /** Where the way along the normal is longer than the wall by this factor, it runs along the wall: a rim. */
  rimFactor: 2,
  /** Passes in which a triangle goes with the area round it. */
  smoothings: 4,
  /** Patches of one side smaller than this share of the area cannot be told. */
  leastShare: 0.001,
} as const;

/** numTris: the side of each triangle. wallMm: numTris, the wall (`wallThickness`), which tells rims from walls. Of the two ends of a way along the
 *  normal through the wall, the one from which fewer directions (cosine-weighted) lead out of the model looks into the hollow; where both are
 *  alike (a brim) both are outside. Space: that of the mesh. Cost: 20,000 times 25 rays, 2 s, and O(n).
 *  Weak: ribs and bosses on the inside whose both ends are inside are BETWEEN_SIDES. */
export function innerSide(mesh: Mesh, tree: BoundingTree, wallMm: Float32Array, work: Work = QUIET_WORK): Uint8Array {
  const normals = areaNormals(mesh);
  const areaMm2 = areasOf(normals);
  const looking = chooseByArea(areaMm2, SIDE_DEFAULTS.mostLooking, work.seed);
  const open = new Float32Array(areaMm2.length);
  const from: Looking = { mesh, tree, normals, areaMm2, looking, nearMm: 1e-7 * Math.hypot(...sizeOf(bounds(mesh))) };
  lookRound(from, open, work);
  carryOver(mesh, normals, { measured: looking, areaMm2, numbers: [open] });
  const side = sidesAcross(from, open, wallMm);
  carryOver(mesh, normals, { measured: looking, areaMm2, numbers: [side] });
  const twins = halfEdgeTwins(mesh);
  let smooth: Uint8Array = Uint8Array.from(side, (s) => s);
  for (let pass = 0; pass < SIDE_DEFAULTS.smoothings; pass++) smooth = withNeighbours(smooth, twins, from);
  leaveOutSpecks(smooth, twins, areaMm2);
  return smooth;
}

interface Looking {
  readonly mesh: Mesh;
  readonly tree: BoundingTree;
  readonly normals: Float64Array;
  readonly areaMm2: Float64Array;
  readonly looking: Uint8Array;
  readonly nearMm: number;
}

/** open: the share of cosine-weighted rays that meet nothing. */
function lookRound({ mesh, tree, normals, areaMm2, looking, nearMm }: Looking, open: Float32Array, work: Work): void {
  const { numRays } = SIDE_DEFAULTS;
  const rays = new Float64Array(numRays * 6);
  const out = { tri: new Int32Array(numRays), t: new Float64Array(numRays) };
  const skipTris = new Int32Array(numRays);
  const rule = { from: nearMm, skipTris };
  for (let tri = 0; tri < looking.length; tri++) {
    if ((tri & 1023) === 0) work.tick(tri / looking.length, 'telling inside from outside');
    if (looking[tri] === 0 || !(areaMm2[tri]! > 0)) continue;
    lobe(mesh, normals, tri, rays);
    skipTris.fill(tri);
    raycastMany(tree, rays, out, rule);
    let free = 0;
    for (let i = 0; i < numRays; i++) if (out.tri[i] === NONE) free++;
    open[tri] = free / numRays;
  }
}

/** Rays from the centroid over the half space before the triangle, cosine-weighted, turned with its first side. */
function lobe({ positions, triangles }: Mesh, normals: Float64Array, tri: number, rays: Float64Array): void {
  const t = tri * 3;
  const corner = [triangles[t]! * 3, triangles[t + 1]! * 3, triangles[t + 2]! * 3] as const;
  const n = unitOf([normals[t]!, normals[t + 1]!, normals[t + 2]!]);
  const u = unitOf([0, 1, 2].map((c) => positions[corner[1] + c]! - positions[corner[0] + c]!));
  const num = rays.length / 6;
  for (let i = 0; i < num; i++) {
    const r = Math.sqrt((i + 0.5) / num);
    const angle = 2 * Math.PI * i * 0.6180339887498949;
    const [a, b, h] = [r * Math.cos(angle), r * Math.sin(angle), Math.sqrt(1 - r * r)];
    for (let c = 0; c < 3; c++) {
      const [d, e] = [(c + 1) % 3, (c + 2) % 3];
      rays[i * 6 + c] = (positions[corner[0] + c]! + positions[corner[1] + c]! + positions[corner[2] + c]!) / 3;
      rays[i * 6 + 3 + c] = h * n[c]! + a * u[c]! + b * (n[d]! * u[e]! - n[e]! * u[d]!);
    }
  }
}

function unitOf(v: readonly number[]): readonly number[] {
  const length = Math.hypot(v[0]!, v[1]!, v[2]!) || 1;
  return [v[0]! / length, v[1]! / length, v[2]! / length];
}

/** Side of each looking triangle, by the triangle at the other end of the way along its normal. */
function sidesAcross(
  { mesh, tree, normals, looking, areaMm2, nearMm }: Looking,
  open: Float32Array,
  wallMm: Float32Array,
): Float32Array {
  const side = new Float32Array(looking.length).fill(BETWEEN_SIDES);
  const ray = new Float64Array(6);
  const out = { tri: new Int32Array(1), t: new Float64Array(1) };
  const skipTris = new Int32Array(1);
  const { positions: p, triangles } = mesh;
  for (let tri = 0; tri < looking.length; tri++) {
    if (looking[tri] === 0 || !(areaMm2[tri]! > 0)) continue;
    const t = tri * 3;
    for (let c = 0; c < 3; c++) {
      ray[c] = (p[triangles[t]! * 3 + c]! + p[triangles[t + 1]! * 3 + c]! + p[triangles[t + 2]! * 3 + c]!) / 3;
      ray[3 + c] = -normals[t + c]! / (2 * areaMm2[tri]!);
    }
    skipTris[0] = tri;
    raycastMany(tree, ray, out, { from: nearMm, skipTris });
    const other = out.tri[0]!;
    if (other === NONE || out.t[0]! > SIDE_DEFAULTS.rimFactor * wallMm[tri]!) continue;
    if (open[tri]! < SIDE_DEFAULTS.innerShare * open[other]!) side[tri] = INNER_SIDE;
    else side[tri] = OUTER_SIDE;
  }
  return side;
}

/** Each triangle takes the side with the most area among itself and those across its edges that face alike. */
function withNeighbours(side: Uint8Array, twins: Int32Array, { normals: n, areaMm2 }: Looking): Uint8Array {
  const sum = new Float64Array(3);
  return side.map((own, tri) => {
    sum.fill(0);
    sum[own] = areaMm2[tri]! * (1 + 1e-9);
    for (let h = tri * 3; h < tri * 3 + 3; h++) {
      const twin = twins[h]!;
      if (twin === NONE) continue;
      const other = Math.floor(twin / 3);
      const agree =
        n[tri * 3]! * n[other * 3]! + n[tri * 3 + 1]! * n[other * 3 + 1]! + n[tri * 3 + 2]! * n[other * 3 + 2]!;
      if (agree < 0.5 * 4 * areaMm2[tri]! * areaMm2[other]!) continue;
      sum[side[other]!] = sum[side[other]!]! + areaMm2[other]!;
    }
    let best = own;
    for (let s = 0; s < 3; s++) if (sum[s]! > sum[best]!) best = s;
    return best;
  });
}

/** Small patches of inner or outer side become BETWEEN_SIDES. */
function leaveOutSpecks(side: Uint8Array, twins: Int32Array, areaMm2: Float64Array): void {
  let total = 0;
  for (const area of areaMm2) total += area;
  const seen = new Uint8Array(side.length);
  const patch = new Uint32Array(side.length);
  for (let seed = 0; seed < side.length; seed++) {
    if (seen[seed] === 1 || side[seed] === BETWEEN_SIDES) continue;
    let [end, sum] = [0, 0];
    patch[end++] = seed;
    seen[seed] = 1;
    for (let at = 0; at < end; at++) {
      const tri = patch[at]!;
      sum += areaMm2[tri]!;
      for (let h = tri * 3; h < tri * 3 + 3; h++) {
        const other = twins[h] === NONE ? NONE : Math.floor(twins[h]! / 3);
        if (other === NONE || seen[other] === 1 || side[other] !== side[seed]) continue;
        seen[other] = 1;
        patch[end++] = other;
      }
    }
    if (sum < SIDE_DEFAULTS.leastShare * total) for (let i = 0; i < end; i++) side[patch[i]!] = BETWEEN_SIDES;
  }
}
