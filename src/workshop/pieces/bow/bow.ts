// A seam that leaves its plane: how far it does so at each place, and how a part is cut along it.
import { type Plane, planeFrame } from '../../../geometry/plane.ts';
import { liftAwayFromVerts } from '../../../geometry/plane-away.ts';
import { planeCrossing, vertHeights } from '../../../geometry/plane-crossing.ts';
import { flattenPoints } from '../../../geometry/plane-section.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { PointGrid } from './bow-grid.ts';

/** A height over a plane along the lines in which it meets the outside. Across the wall it is that of the nearest place on them. */
export interface Bow {
  readonly plane: Plane;
  /** n x 3: places along the lines, about a millimetre apart, in the plane. */
  readonly points: Float64Array;
  /** n, along the plane's normal. */
  readonly liftMm: Float64Array;
}

export const BOW_DEFAULTS = {
  /** Places along a line blend into one another within about so much. */
  blendMm: 1.5,
  /** From where a seam ends on an earlier mating face it stays in its plane for so long, and is free of it so much farther on. */
  flatMm: 2,
  freeMm: 8,
  /** Farther than this from any line a bow fades to nothing, over as much again: walls are thinner. */
  reachMm: 30,
  /** The cut keeps so far away from vertices where it leaves its plane. */
  keepMm: 0.002,
} as const;

/** Per vertex of a part, how far the cut passes over the plane. 0 at every vertex of a mating face made before and near where the
 *  plane meets one, so that faces made before are cut straight; exact only near the plane, where it matters.
 *  Cost: O(n), and for vertices within the bow's height some ten places each. */
export function bowLift(part: MeshPart, bow: Bow): Float64Array {
  const { mesh, sourceTri } = part;
  const { plane } = bow;
  const heights = vertHeights(mesh.positions, plane.normal, plane.offsetMm);
  const lift = new Float64Array(heights.length);
  const mostMm = bow.liftMm.reduce((most, up) => Math.max(most, Math.abs(up)), 0);
  if (mostMm === 0) return lift;
  const { u, v } = planeFrame(plane.normal);
  const grid = new PointGrid(flattenPoints(bow.points, u, v), 3 * BOW_DEFAULTS.blendMm);
  const pinned = new PointGrid(pinnedPoints(part, plane), BOW_DEFAULTS.freeMm);
  const isNear = vertsNear(part, heights, mostMm);
  const p = mesh.positions;
  for (let vert = 0; vert < lift.length; vert++) {
    if (isNear[vert] === 0) continue;
    const [x, y, z] = [p[vert * 3]!, p[vert * 3 + 1]!, p[vert * 3 + 2]!];
    const a = u[0] * x + u[1] * y + u[2] * z;
    const b = v[0] * x + v[1] * y + v[2] * z;
    const free = pinned.nearestWithin(a, b, BOW_DEFAULTS.freeMm);
    if (free <= BOW_DEFAULTS.flatMm) continue;
    lift[vert] = blended(grid, bow.liftMm, a, b) * eased(free, BOW_DEFAULTS.flatMm, BOW_DEFAULTS.freeMm);
  }
  for (let tri = 0; tri < sourceTri.length; tri++)
    if (sourceTri[tri]! <= NONE) for (let c = 0; c < 3; c++) lift[mesh.triangles[tri * 3 + c]!] = 0;
  return liftAwayFromVerts(heights, lift, BOW_DEFAULTS.keepMm);
}

/** Mean of the lifts about, by nearness beyond the nearest: along a line it smooths over blendMm, and where two stretches of it are
 *  equally near it passes evenly from one to the other. */
function blended(grid: PointGrid, liftMm: Float64Array, a: number, b: number): number {
  const { blendMm, reachMm } = BOW_DEFAULTS;
  const nearest = grid.nearestWithin(a, b, 2 * reachMm);
  if (nearest >= 2 * reachMm) return 0;
  const width2 = 2 * blendMm * blendMm;
  let sum = 0;
  let weights = 0;
  grid.eachWithin(a, b, Math.sqrt(nearest * nearest + 4.5 * width2), (i, d2) => {
    const weight = Math.exp((nearest * nearest - d2) / width2);
    sum += weight * liftMm[i]!;
    weights += weight;
  });
  return (sum / weights) * (1 - eased(nearest, reachMm, 2 * reachMm));
}

/** 0 up to `from`, 1 from `to` on, smooth between. */
function eased(value: number, from: number, to: number): number {
  const s = Math.min(1, Math.max(0, (value - from) / (to - from)));
  return s * s * (3 - 2 * s);
}

/** Where the plane meets mating faces made before, in its frame. */
function pinnedPoints({ mesh, sourceTri }: MeshPart, plane: Plane): Float64Array {
  const { u, v } = planeFrame(plane.normal);
  const crossing = planeCrossing(mesh, plane);
  const out: number[] = [];
  crossing.cutTris.forEach((tri, s) => {
    if (sourceTri[tri]! > NONE) return;
    for (const at of [crossing.start[s]!, crossing.end[s]!])
      out.push(crossing.points[at * 3]!, crossing.points[at * 3 + 1]!, crossing.points[at * 3 + 2]!);
  });
  return flattenPoints(Float64Array.from(out), u, v);
}

/** Corners of all triangles that come within mostMm of the plane. */
function vertsNear({ mesh: { triangles } }: MeshPart, heights: Float64Array, mostMm: number): Uint8Array {
  const isNear = new Uint8Array(heights.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = heights[triangles[t]!]!;
    const b = heights[triangles[t + 1]!]!;
    const c = heights[triangles[t + 2]!]!;
    if (Math.min(a, b, c) > mostMm || Math.max(a, b, c) < -mostMm) continue;
    isNear[triangles[t]!] = isNear[triangles[t + 1]!] = isNear[triangles[t + 2]!] = 1;
  }
  return isNear;
}

/** The mirror image about x = mirrorX of a bow, on a plane that is the image of its own, either side up. */
export function mirroredBow(bow: Bow, mirrorX: number, plane: Plane): Bow {
  const [x, y, z] = bow.plane.normal;
  const isTurned = -x * plane.normal[0] + y * plane.normal[1] + z * plane.normal[2] < 0;
  return {
    plane,
    points: bow.points.map((value, i) => (i % 3 === 0 ? 2 * mirrorX - value : value)),
    liftMm: isTurned ? bow.liftMm.map((up) => -up) : bow.liftMm,
  };
}

/** A bow on a plane that is its own mirror image, made its own mirror image: one half of it, and that half mirrored. */
export function evenedBow(bow: Bow, mirrorX: number, half: 1 | -1): Bow {
  const kept: number[] = [];
  for (let i = 0; i < bow.liftMm.length; i++)
    if (half * (bow.points[i * 3]! - mirrorX) >= -EVEN_OVERLAP_MM) kept.push(i);
  const points = new Float64Array(kept.length * 6);
  const liftMm = new Float64Array(kept.length * 2);
  kept.forEach((i, k) => {
    const place: Vec3 = [bow.points[i * 3]!, bow.points[i * 3 + 1]!, bow.points[i * 3 + 2]!];
    points.set(place, k * 6);
    points.set([2 * mirrorX - place[0], place[1], place[2]], k * 6 + 3);
    liftMm[k * 2] = liftMm[k * 2 + 1] = bow.liftMm[i]!;
  });
  return { plane: bow.plane, points, liftMm };
}

/** Neither half may leave a gap in the middle. */
const EVEN_OVERLAP_MM = 0.5;

/** A bow that goes back into its plane within `nearMm` of some places, xyz interleaved, in which its face could not be made. */
export function dampedBow(bow: Bow, places: readonly number[], nearMm: number): Bow {
  const { u, v } = planeFrame(bow.plane.normal);
  const grid = new PointGrid(flattenPoints(Float64Array.from(places), u, v), nearMm);
  const at = flattenPoints(bow.points, u, v);
  return {
    ...bow,
    liftMm: bow.liftMm.map((up, i) => {
      const freeMm = nearMm + Math.max(4, 1.5 * Math.abs(up));
      const away = grid.nearestWithin(at[i * 2]!, at[i * 2 + 1]!, freeMm);
      return up * eased(away, nearMm, freeMm);
    }),
  };
}

/** A bow no steeper than it may be between any two of its places, along its lines or across the wall between them: where two differ by
 *  more than their distance allows, both give way by half of it, again and again. Cost: places x neighbours x sweeps. */
export function gentleBow(bow: Bow, mostSlope: number): Bow {
  const { u, v } = planeFrame(bow.plane.normal);
  const at = flattenPoints(bow.points, u, v);
  const grid = new PointGrid(at, NEIGHBOUR_MM / 2);
  const lift = bow.liftMm.slice();
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let worst = 0;
    for (let i = 0; i < lift.length; i++) {
      grid.eachWithin(at[i * 2]!, at[i * 2 + 1]!, NEIGHBOUR_MM, (j, d2) => {
        if (j <= i) return;
        const over = Math.abs(lift[i]! - lift[j]!) - mostSlope * Math.sqrt(d2);
        if (over <= STEEP_BY_MM) return;
        worst = Math.max(worst, over);
        const give = Math.sign(lift[i]! - lift[j]!) * (over / 2);
        lift[i] = lift[i]! - give;
        lift[j] = lift[j]! + give;
      });
    }
    if (worst <= STEEP_BY_MM) break;
  }
  return { ...bow, liftMm: lift };
}

/** As far as a wall is thick. */
const NEIGHBOUR_MM = 8;
const STEEP_BY_MM = 0.05;
const MOST_SWEEPS = 40;
