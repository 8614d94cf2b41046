// The faces of a cut that leaves its plane: ruled straight through a wall, and spanned evenly like a skin where the solid is thicker.
import { type FlatFill, fillOf, insertPoint, settleFlips } from './flat-fill.ts';
import { type Plane, planeFrame } from './plane.ts';
import type { Cap, CapPoints } from './plane-caps.ts';

export interface LiftedCaps {
  readonly caps: readonly Cap[];
  /** The crossings, and after them the points added inside the faces; handles of cap triangles count through both. */
  readonly points: Float64Array;
}

/** The same caps with their triangles as near to Delaunay in the plane as their outlines allow, points added where a face is wider than
 *  a wall, and areas in space. Triangles of a flat face may run anywhere; on a bowed one they would bulge out of the solid. Outlines
 *  stay as they are; an added point gets the height at which it hangs evenly between its neighbours.
 *  Cost: O(m) flips as a rule; added points (at most some 800 a face) times outline, and again times triangles.
 *  Method: Lawson 1977, relaxation after Gauss and Seidel; docs/methods/bowed-seams.md. */
export function liftedCaps(caps: readonly Cap[], at: CapPoints, plane: Plane): LiftedCaps {
  const { u, v } = planeFrame(plane.normal);
  const n = plane.normal;
  const added: number[] = [];
  const numCrossings = at.points.length / 3;
  const made = caps.map((cap): Uint32Array => {
    const fill = fillOf(cap.triangles, at.apart);
    settleFlips(fill);
    const heights = new Map<number, number>();
    for (const corner of cap.triangles) heights.set(corner, heightOf(at.points, corner, plane));
    if (![...heights.values()].every((height) => Math.abs(height) < FLAT_MM)) addInside(fill, cap);
    const first = at.apart.length / 2;
    const inside = hungEvenly(fill, first, heights);
    const shift = numCrossings + added.length / 3 - first;
    inside.forEach((height, i) => {
      const a = fill.flat[(first + i) * 2]!;
      const b = fill.flat[(first + i) * 2 + 1]!;
      for (const c of [0, 1, 2] as const) added.push(u[c] * a + v[c] * b + n[c] * (plane.offsetMm + height));
    });
    return Uint32Array.from(fill.tris, (corner) => (corner < first ? corner : corner + shift));
  });
  const points = new Float64Array(at.points.length + added.length);
  points.set(at.points);
  points.set(added, at.points.length);
  return {
    caps: caps.map((cap, i) => ({ ...cap, triangles: made[i]!, areaMm2: areaInSpace(made[i]!, points) })),
    points,
  };
}

/** A face whose outline is as flat as this needs nothing inside. */
const FLAT_MM = 1e-6;
/** Between points inside; they keep a share of it away from the outline. Walls thinner than twice that get none. */
const SPACING_MM = 4;
const MOST_INSIDE = 800;
const AWAY_SHARE = 0.65;
const SWEEPS = 300;

function heightOf(p: Float64Array, i: number, { normal, offsetMm }: Plane): number {
  return normal[0] * p[i * 3]! + normal[1] * p[i * 3 + 1]! + normal[2] * p[i * 3 + 2]! - offsetMm;
}

/** A staggered grid of points, those within the outline and away from it. */
function addInside(fill: FlatFill, cap: Cap): void {
  const flatArea = cap.areaMm2;
  const step = Math.max(SPACING_MM, Math.sqrt(Math.abs(flatArea) / MOST_INSIDE));
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const loop of cap.loops) {
    for (let i = 0; i < loop.length; i += 2) {
      x0 = Math.min(x0, loop[i]!);
      x1 = Math.max(x1, loop[i]!);
      y0 = Math.min(y0, loop[i + 1]!);
      y1 = Math.max(y1, loop[i + 1]!);
    }
  }
  const rows = Math.floor((y1 - y0) / (step * ROW_SHARE));
  for (let row = 0; row <= rows; row++) {
    const y = y0 + (row + 0.5) * step * ROW_SHARE;
    for (let x = x0 + (row % 2 === 0 ? 0.25 : 0.75) * step; x < x1; x += step)
      if (isInside(cap.loops, x, y, AWAY_SHARE * step)) insertPoint(fill, x, y);
  }
}

/** Rows of a grid of even triangles. */
const ROW_SHARE = Math.sqrt(3) / 2;

/** Whether a point lies within the loops and at least `away` from all of them. */
function isInside(loops: readonly Float64Array[], x: number, y: number, away: number): boolean {
  let inside = false;
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
      const [ax, ay, bx, by] = [loop[j]!, loop[j + 1]!, loop[i]!, loop[i + 1]!];
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
      const [dx, dy] = [bx - ax, by - ay];
      const s = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
      const [ox, oy] = [ax + s * dx - x, ay + s * dy - y];
      if (ox * ox + oy * oy < away * away) return false;
    }
  }
  return inside;
}

/** Heights of the points from `first` on: each the mean of its neighbours', those of the outline fixed. */
function hungEvenly(fill: FlatFill, first: number, fixed: ReadonlyMap<number, number>): Float64Array {
  const num = fill.flat.length / 2 - first;
  const heights = new Float64Array(num);
  const around = Array.from({ length: num }, () => new Set<number>());
  for (let t = 0; t < fill.tris.length; t++) {
    const corner = fill.tris[t]! - first;
    if (corner < 0) continue;
    const base = t - (t % 3);
    for (let k = 0; k < 3; k++) if (base + k !== t) around[corner]!.add(fill.tris[base + k]!);
  }
  const rings = around.map((set) => [...set]);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let moved = 0;
    for (let i = 0; i < num; i++) {
      const ring = rings[i]!;
      let sum = 0;
      for (const other of ring) sum += other < first ? fixed.get(other)! : heights[other - first]!;
      const next = ring.length === 0 ? 0 : sum / ring.length;
      moved = Math.max(moved, Math.abs(next - heights[i]!));
      heights[i] = next;
    }
    if (moved < 1e-4) break;
  }
  return heights;
}

function areaInSpace(triangles: Uint32Array, p: Float64Array): number {
  let area = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]! * 3, triangles[t + 1]! * 3, triangles[t + 2]! * 3];
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    area += Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
  }
  return area;
}
