// Finds the hollow of a shell, where a head would be, and the openings that lead into it.
import type { Work } from '../base/work.ts';
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import type { Vec3 } from '../mesh/mesh.ts';
import { raycastMany } from '../mesh/ray.ts';
import { blockedWays, NUM_WAYS } from './blocked-ways.ts';
import { cellMiddle, FREE, type OccupancyGrid } from './occupancy-grid.ts';
import { spiralDirections } from './sphere-directions.ts';
import { unit } from './three-by-three.ts';

/** A way out of the hollow: a connected set of directions in which nothing is met. */
export interface Gap {
  /** Share of all directions, 0 to 1. */
  readonly share: number;
  /** Unit vector, the mean of its directions. */
  readonly outward: Vec3;
  /** n x 3: where directions just beside the gap meet the surface, mm: the rim seen from inside. */
  readonly rim: Float64Array;
}

export interface Hollow {
  /** Middle of the largest ball in the hollow, to the nearest cell of the grid, mm. */
  readonly centreMm: Vec3;
  readonly radiusMm: number;
  /** Largest first. */
  readonly gaps: readonly Gap[];
}

export const HOLLOW_DEFAULTS = {
  numRays: 3000,
  /** A free cell belongs to a hollow when at least so many of 26 ways out of it meet the surface. */
  leastBlocked: 16,
  /** A hollow smaller than this share of the size of the model is a dent. */
  leastRadiusShare: 0.07,
  /** Gaps of fewer rays are dropped. */
  leastRays: 2,
} as const;

/** The largest hollow, or null when there is none. `spanMm` is the size of the model (twice the farthest distance from its middle).
 *  Space: that of the mesh. Cost: 26 passes over the grid and numRays rays, about 50 ms for 50,000 triangles.
 *  Method: docs/methods/openings.md. Weak: openings that run into each other count as one; an opening narrower than some 3 degrees
 *  seen from the middle can be missed. */
export function findHollow(tree: BoundingTree, grid: OccupancyGrid, spanMm: number, work: Work): Hollow | null {
  work.tick(0, 'looking for the hollow');
  const cell = deepestCell(grid, blockedWays(grid));
  if (cell < 0) return null;
  const radiusMm = grid.distanceMm[cell]!;
  if (radiusMm < HOLLOW_DEFAULTS.leastRadiusShare * spanMm) return null;
  const centreMm = cellMiddle(grid, cell);
  work.tick(0.5, 'looking for the hollow');
  return { centreMm, radiusMm, gaps: gapsFrom(tree, centreMm) };
}

/** Deep and well enclosed: the greatest distance from the surface times share of ways blocked. */
function deepestCell(grid: OccupancyGrid, blocked: Uint8Array): number {
  let best = -1;
  let most = 0;
  for (let cell = 0; cell < blocked.length; cell++) {
    if (grid.state[cell] !== FREE || blocked[cell]! < HOLLOW_DEFAULTS.leastBlocked) continue;
    const worth = (grid.distanceMm[cell]! * blocked[cell]!) / NUM_WAYS;
    if (worth > most) {
      most = worth;
      best = cell;
    }
  }
  return best;
}

export function gapsFrom(tree: BoundingTree, from: Vec3, numRays: number = HOLLOW_DEFAULTS.numRays): Gap[] {
  const directions = spiralDirections(numRays);
  const distance = castRays(tree, from, directions);
  const group = groupFree(directions, distance);
  const out: Gap[] = [];
  for (let g = 0; g < group.num; g++) {
    const members: number[] = [];
    for (let i = 0; i < numRays; i++) if (group.of[i] === g) members.push(i);
    if (members.length >= HOLLOW_DEFAULTS.leastRays) out.push(gapOf(members, directions, distance, from));
  }
  return out.sort((a, b) => b.share - a.share);
}

/** Distance to the first surface met in each direction, Infinity where there is none. */
function castRays(tree: BoundingTree, from: Vec3, directions: Float64Array): Float64Array {
  const num = directions.length / 3;
  const rays = new Float64Array(num * 6);
  for (let i = 0; i < num; i++) {
    rays.set(from, i * 6);
    rays.set(directions.subarray(i * 3, i * 3 + 3), i * 6 + 3);
  }
  const t = new Float64Array(num);
  raycastMany(tree, rays, { tri: new Int32Array(num), t });
  return t;
}

/** Neighbours are directions no farther apart than `times` times the side of a direction's share of the sphere. */
function nearCosine(numRays: number, times: number): number {
  return Math.cos(times * Math.sqrt((4 * Math.PI) / numRays));
}

/** Free directions gathered into connected groups; -1 for blocked ones. */
function groupFree(directions: Float64Array, distance: Float64Array): { num: number; of: Int32Array } {
  const near = nearCosine(distance.length, 1.6);
  const of = new Int32Array(distance.length).fill(-1);
  const free: number[] = [];
  for (let i = 0; i < distance.length; i++) if (distance[i] === Infinity) free.push(i);
  let num = 0;
  for (const seed of free) {
    if (of[seed] !== -1) continue;
    of[seed] = num;
    const front = [seed];
    while (front.length > 0) {
      const at = front.pop()!;
      for (const other of free) {
        if (of[other] !== -1 || cosine(directions, at, other) < near) continue;
        of[other] = num;
        front.push(other);
      }
    }
    num++;
  }
  return { num, of };
}

function cosine(d: Float64Array, a: number, b: number): number {
  return d[a * 3]! * d[b * 3]! + d[a * 3 + 1]! * d[b * 3 + 1]! + d[a * 3 + 2]! * d[b * 3 + 2]!;
}

function gapOf(members: readonly number[], directions: Float64Array, distance: Float64Array, from: Vec3): Gap {
  const near = nearCosine(distance.length, 1.6);
  const sum = [0, 0, 0];
  for (const i of members) for (let c = 0; c < 3; c++) sum[c] = sum[c]! + directions[i * 3 + c]!;
  const rim: number[] = [];
  for (let i = 0; i < distance.length; i++) {
    if (distance[i] === Infinity || members.every((m) => cosine(directions, i, m) < near)) continue;
    for (let c = 0; c < 3; c++) rim.push(from[c]! + distance[i]! * directions[i * 3 + c]!);
  }
  return {
    share: members.length / distance.length,
    outward: unit([sum[0]!, sum[1]!, sum[2]!]),
    rim: Float64Array.from(rim),
  };
}
