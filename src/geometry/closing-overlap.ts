// What stands in the way of bodies that close along a straight line, and how deep they would press into each other.
import { QUIET_WORK, type Work } from '../base/work.ts';
import { type BoundingTree, buildBoundingTree } from '../mesh/bounding-tree.ts';
import { type Mesh, meshOf, type Vec3 } from '../mesh/mesh.ts';
import { type OverlapRegion, overlapRegion, pressedDepth } from './overlap-region.ts';
import { planeFrame } from './plane.ts';

/** Two bodies that cannot pass each other. */
export interface ClosingMeeting {
  /** Places in the lists of bodies. */
  readonly moving: number;
  readonly fixed: number;
  /** What one would have to give way: the height of the overlap along the way or the width of the widest circle in it, whichever is less. */
  readonly depthMm: number;
  /** On the fixed body, where they press deepest. */
  readonly atMm: Vec3;
  /** How far before they are closed they first meet there. */
  readonly beforeMm: number;
}

export const CLOSING_DEFAULTS = { toleranceMm: 0.02 } as const;

/** Which closed bodies meet when all of `moving` come as one from far away along the unit vector `towards` and stop where they stand.
 *  Exact but for rounding: a line along the way passes freely just when the last of the moving bodies on it lies before the first of the
 *  fixed ones, so only faces that look at each other are compared, each pair over the polygon in which it overlaps as seen along the
 *  way. Contact up to `toleranceMm`, along the way or across it, is let through. Worst first; empty when the way is free.
 *  Space: that of the bodies, mm. Cost: O(n) for what lies apart along the way, O(log n) for each triangle in the band where bodies
 *  stand beside each other. Method: docs/methods/assembly-order.md. Weak: one straight way; a depth counts circles, not the least shift. */
export function closingMeetings(
  moving: readonly Mesh[],
  fixed: readonly Mesh[],
  towards: Vec3,
  options: { readonly toleranceMm: number; readonly work?: Work } = CLOSING_DEFAULTS,
): ClosingMeeting[] {
  const { toleranceMm, work = QUIET_WORK } = options;
  const frame: Frame = { ...planeFrame(towards), w: towards };
  const last = reachAlong(moving, towards, 'last');
  const first = reachAlong(fixed, towards, 'first');
  if (!(last - first > toleranceMm)) return [];
  const fronts = facesOf(moving, frame, { looks: 1, beyondMm: first + toleranceMm });
  const backs = facesOf(fixed, frame, { looks: -1, beyondMm: last - toleranceMm });
  if (fronts.num === 0 || backs.num === 0) return [];
  const region = overlapOf(fronts, backs, { leastMm: toleranceMm, numMoving: moving.length, work });
  const worst = pressedDepth(region, toleranceMm);
  if (worst === null) return [];
  const pairs = [...new Set(region.labels)].flatMap((label) => {
    const deepest = pressedDepth(region, toleranceMm, label);
    return deepest === null ? [] : [deepest];
  });
  return (pairs.length === 0 ? [worst] : pairs)
    .map(({ label, depthMm, at, beforeMm }) => ({
      moving: label % moving.length,
      fixed: Math.floor(label / moving.length),
      depthMm,
      atMm: outOf(frame, at),
      beforeMm,
    }))
    .sort((one, other) => other.depthMm - one.depthMm);
}

interface Frame {
  readonly u: Vec3;
  readonly v: Vec3;
  /** The way. */
  readonly w: Vec3;
}

/** Triangles that look along the way or against it: corners as across, across, along. */
interface Faces {
  readonly num: number;
  readonly corners: Float64Array;
  readonly body: Uint32Array;
}

/** Of triangles seen narrower than this the heights are rounding; what stands upright joins faces that are looked at themselves. */
const LEAST_SEEN_MM2 = 1e-12;

function reachAlong(bodies: readonly Mesh[], towards: Vec3, end: 'first' | 'last'): number {
  let reach = end === 'last' ? -Infinity : Infinity;
  for (const { positions: p } of bodies) {
    for (let i = 0; i < p.length; i += 3) {
      const along = p[i]! * towards[0] + p[i + 1]! * towards[1] + p[i + 2]! * towards[2];
      if (end === 'last' ? along > reach : along < reach) reach = along;
    }
  }
  return reach;
}

/** Faces of the bodies that look along the way (1) and reach farther than `beyondMm`, or against it (-1) and begin before it. */
function facesOf(
  bodies: readonly Mesh[],
  frame: Frame,
  by: { readonly looks: 1 | -1; readonly beyondMm: number },
): Faces {
  const corners: number[] = [];
  const body: number[] = [];
  bodies.forEach(({ positions: p, triangles: t }, index) => {
    const along = new Float64Array(p.length / 3);
    for (let v = 0; v < along.length; v++) along[v] = dotAt(p, v * 3, frame.w) * by.looks;
    const limit = by.beyondMm * by.looks;
    for (let i = 0; i < t.length; i += 3) {
      const [a, b, c] = [t[i]!, t[i + 1]!, t[i + 2]!];
      if (!(along[a]! > limit || along[b]! > limit || along[c]! > limit)) continue;
      const at = [a, b, c].flatMap((v) => [dotAt(p, v * 3, frame.u), dotAt(p, v * 3, frame.v), by.looks * along[v]!]);
      const seen = (at[3]! - at[0]!) * (at[7]! - at[1]!) - (at[6]! - at[0]!) * (at[4]! - at[1]!);
      if (!(seen * by.looks > 2 * LEAST_SEEN_MM2)) continue;
      corners.push(...at);
      body.push(index);
    }
  });
  return { num: body.length, corners: Float64Array.from(corners), body: Uint32Array.from(body) };
}

function dotAt(p: Float64Array, at: number, axis: Vec3): number {
  return p[at]! * axis[0] + p[at + 1]! * axis[1] + p[at + 2]! * axis[2];
}

function outOf({ u, v, w }: Frame, [x, y, z]: Vec3): Vec3 {
  const to = (c: 0 | 1 | 2): number => x * u[c] + y * v[c] + z * w[c];
  return [to(0), to(1), to(2)];
}

/** Every pair of a front and a back, compared. */
function overlapOf(
  front: Faces,
  back: Faces,
  by: { readonly leastMm: number; readonly numMoving: number; readonly work: Work },
): OverlapRegion {
  const tree = buildBoundingTree(
    meshOf(
      back.corners,
      Uint32Array.from({ length: back.num * 3 }, (_, i) => i),
    ),
  );
  const out = overlapRegion();
  for (let tri = 0; tri < front.num; tri++) {
    if ((tri & 0xfff) === 0) by.work.tick(tri / front.num, 'trying the way');
    compareWithTree(front, tri, { tree, back, leastMm: by.leastMm, numMoving: by.numMoving, out });
  }
  return out;
}

interface Comparing {
  readonly tree: BoundingTree;
  readonly back: Faces;
  readonly leastMm: number;
  readonly numMoving: number;
  readonly out: OverlapRegion;
}

/** Compares a front with all backs that begin before it ends and lie on the same lines. */
function compareWithTree(front: Faces, tri: number, by: Comparing): void {
  const { boxes, children, stack, slotTri } = by.tree;
  const f = front.corners;
  const o = tri * 9;
  const lowU = Math.min(f[o]!, f[o + 3]!, f[o + 6]!);
  const highU = Math.max(f[o]!, f[o + 3]!, f[o + 6]!);
  const lowV = Math.min(f[o + 1]!, f[o + 4]!, f[o + 7]!);
  const highV = Math.max(f[o + 1]!, f[o + 4]!, f[o + 7]!);
  const highW = Math.max(f[o + 2]!, f[o + 5]!, f[o + 8]!) - by.leastMm;
  let depth = 0;
  stack[depth++] = 0;
  while (depth > 0) {
    const node = stack[--depth]!;
    for (let side = 0; side < 2; side++) {
      const b = node * 12 + side * 6;
      if (boxes[b]! > highU || boxes[b + 3]! < lowU || boxes[b + 1]! > highV || boxes[b + 4]! < lowV) continue;
      if (boxes[b + 2]! > highW) continue;
      const child = children[node * 2 + side]!;
      if (child >= 0) {
        stack[depth++] = child;
        continue;
      }
      const leaf = ~child;
      const end = (leaf >>> 4) + (leaf & 15);
      for (let slot = leaf >>> 4; slot < end; slot++) comparePair(front, tri, slotTri[slot]!, by);
    }
  }
}

/** Clipping room: a triangle cut by four lines has at most seven corners. */
const ROOM = 16;
const here = new Float64Array(ROOM);
const there = new Float64Array(ROOM);

/** The part of the overlap of two triangles, as seen along the way, in which the front stands more than `leastMm` beyond the back. */
function comparePair(front: Faces, tri: number, backTri: number, by: Comparing): void {
  const f = front.corners.subarray(tri * 9, tri * 9 + 9);
  const b = by.back.corners.subarray(backTri * 9, backTri * 9 + 9);
  for (let k = 0; k < 3; k++) {
    here[k * 2] = f[k * 3]!;
    here[k * 2 + 1] = f[k * 3 + 1]!;
  }
  let [from, to, num] = [here, there, 3];
  // a back runs clockwise: its inside lies to the right of each side
  for (let k = 0; k < 3 && num > 2; k++) {
    const at = k * 3;
    const next = ((k + 1) % 3) * 3;
    const [dx, dy] = [b[next]! - b[at]!, b[next + 1]! - b[at + 1]!];
    num = clip(from, num, to, [dy, -dx, -(dy * b[at]! - dx * b[at + 1]!)]);
    [from, to] = [to, from];
  }
  if (num < 3) return;
  const height = heightOf(f);
  const ground = heightOf(b);
  const over: Linear = [height[0] - ground[0], height[1] - ground[1], height[2] - ground[2]];
  num = clip(from, num, to, [over[0], over[1], over[2] - by.leastMm]);
  if (num < 3) return;
  const label = by.back.body[backTri]! * by.numMoving + front.body[tri]!;
  by.out.add({ corners: to.subarray(0, num * 2), label, over, ground });
}

/** a u + b v + c. */
type Linear = readonly [number, number, number];

/** Height over the plane across the way. */
function heightOf(t: Float64Array): Linear {
  const [ux, uy, uz] = [t[3]! - t[0]!, t[4]! - t[1]!, t[5]! - t[2]!];
  const [vx, vy, vz] = [t[6]! - t[0]!, t[7]! - t[1]!, t[8]! - t[2]!];
  const seen = ux * vy - vx * uy;
  const a = (uz * vy - vz * uy) / seen;
  const b = (ux * vz - vx * uz) / seen;
  return [a, b, t[2]! - a * t[0]! - b * t[1]!];
}

/** Keeps what of a convex polygon lies where the linear function is positive; returns the number of corners left. */
function clip(from: Float64Array, num: number, to: Float64Array, [a, b, c]: Linear): number {
  let out = 0;
  for (let k = 0; k < num; k++) {
    const next = (k + 1) % num;
    const [x, y, nx, ny] = [from[k * 2]!, from[k * 2 + 1]!, from[next * 2]!, from[next * 2 + 1]!];
    const s = a * x + b * y + c;
    const t = a * nx + b * ny + c;
    if (s > 0) {
      to[out * 2] = x;
      to[out * 2 + 1] = y;
      out++;
    }
    if (s > 0 === t > 0) continue;
    const share = s / (s - t);
    to[out * 2] = x + share * (nx - x);
    to[out * 2 + 1] = y + share * (ny - y);
    out++;
  }
  return out;
}
