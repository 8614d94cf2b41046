// What stands round a place on a surface, seen from straight above it: on every bearing the nearest of what rises into a layer over its tangent plane.
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { NONE, type Vec3 } from '../mesh/mesh.ts';
import { planeFrame } from './plane.ts';
import type { TreeSlabs } from './tree-slabs.ts';

/** Bearings, evenly round. */
export const NUM_BEARINGS = 128;

/** The nearest found so far on each bearing, in the tangent plane about the place, mm; one place at a time. */
export interface StandingAround {
  readonly tree: BoundingTree;
  readonly slabs: TreeSlabs;
  /** NUM_BEARINGS each: where it is, and how far; Infinity where nothing was found. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly farMm: Float64Array;
  /** The place, the normal, and two directions of its plane. */
  readonly frame: Float64Array;
  /** Room for a triangle cut by two planes: x, y, z of up to five corners, twice. */
  readonly cut: Float64Array;
  readonly other: Float64Array;
  /** The bearing of each of its corners. */
  readonly corner: Uint8Array;
}

/** The layer looked into: heights over the tangent plane, and how far round. */
export interface LayerAround {
  readonly overMm: number;
  readonly upToMm: number;
  readonly withinMm: number;
}

export function standingAround(tree: BoundingTree, slabs: TreeSlabs): StandingAround {
  return {
    tree,
    slabs,
    x: new Float64Array(NUM_BEARINGS),
    y: new Float64Array(NUM_BEARINGS),
    farMm: new Float64Array(NUM_BEARINGS),
    frame: new Float64Array(12),
    cut: new Float64Array(18),
    other: new Float64Array(18),
    corner: new Uint8Array(6),
  };
}

/** Begins a place: nothing found yet. */
export function beginPlace({ farMm, frame }: StandingAround, at: Vec3, normal: Vec3): void {
  farMm.fill(Infinity);
  const { u, v } = planeFrame(normal);
  frame.set([...at, ...normal, ...u, ...v]);
}

/** Adds what stands in the layer, nearest first; a later call may look higher and farther. Bearings keep one point each: where the bearing meets an edge, or
 *  a corner between two bearings. Parts behind what was found are not looked at. Cost: a few dozen boxes where the surface falls away, some thousand
 *  triangles beside a wall. */
export function lookAround(around: StandingAround, layer: LayerAround): void {
  const { tree } = around;
  const { stack, children } = tree;
  let depth = 0;
  let node = 0;
  for (;;) {
    let left = nearOf(around, node * 2, layer);
    let right = nearOf(around, node * 2 + 1, layer);
    let first = children[node * 2]!;
    let second = children[node * 2 + 1]!;
    if (right < left) {
      [left, right] = [right, left];
      [first, second] = [second, first];
    }
    if (right < Infinity) stack[depth++] = second;
    if (left < Infinity) stack[depth++] = first;
    node = NONE;
    while (depth > 0 && node === NONE) {
      const code = stack[--depth]!;
      if (code >= 0) node = code;
      else addLeaf(around, ~code, layer);
    }
    if (node === NONE) return;
  }
}

/** frame: 0..2 the place, 3..5 the normal, 6..8 and 9..11 along x and y. How near the box of a child comes seen from above; Infinity when nothing in it can matter. */
function nearOf({ tree, slabs, frame: f, farMm }: StandingAround, child: number, layer: LayerAround): number {
  const { boxes } = tree;
  const o = child * 6;
  const hx = (boxes[o + 3]! - boxes[o]!) / 2;
  const hy = (boxes[o + 4]! - boxes[o + 1]!) / 2;
  const hz = (boxes[o + 5]! - boxes[o + 2]!) / 2;
  if (!(hx >= 0)) return Infinity;
  const cx = (boxes[o + 3]! + boxes[o]!) / 2 - f[0]!;
  const cy = (boxes[o + 4]! + boxes[o + 1]!) / 2 - f[1]!;
  const cz = (boxes[o + 5]! + boxes[o + 2]!) / 2 - f[2]!;
  const z = f[3]! * cx + f[4]! * cy + f[5]! * cz;
  const ez = Math.abs(f[3]!) * hx + Math.abs(f[4]!) * hy + Math.abs(f[5]!) * hz;
  if (z + ez <= layer.overMm || z - ez >= layer.upToMm) return Infinity;
  const x = f[6]! * cx + f[7]! * cy + f[8]! * cz;
  const ex = Math.abs(f[6]!) * hx + Math.abs(f[7]!) * hy + Math.abs(f[8]!) * hz;
  const nearX = Math.max(0, Math.abs(x) - ex);
  if (nearX >= layer.withinMm) return Infinity;
  const y = f[9]! * cx + f[10]! * cy + f[11]! * cz;
  const ey = Math.abs(f[9]!) * hx + Math.abs(f[10]!) * hy + Math.abs(f[11]!) * hz;
  const nearY = Math.max(0, Math.abs(y) - ey);
  const near = Math.sqrt(nearX * nearX + nearY * nearY);
  if (near >= layer.withinMm) return Infinity;
  // between its two planes: height = part along their direction + at most the rest of the radius across it
  const s = child * 5;
  const mx = slabs[s]!;
  const my = slabs[s + 1]!;
  const mz = slabs[s + 2]!;
  const cos = mx * f[3]! + my * f[4]! + mz * f[5]!;
  const place = mx * f[0]! + my * f[1]! + mz * f[2]!;
  const low = cos * (slabs[s + 3]! - place);
  const high = cos * (slabs[s + 4]! - place);
  const rest = z - cos * (mx * cx + my * cy + mz * cz);
  const across = Math.sqrt(Math.max(0, 1 - cos * cos) * (hx * hx + hy * hy + hz * hz));
  if (Math.max(low, high) + rest + across <= layer.overMm) return Infinity;
  if (Math.min(low, high) + rest - across >= layer.upToMm) return Infinity;
  return isBehind(farMm, { x, y, radius: Math.sqrt(ex * ex + ey * ey), near }) ? Infinity : near;
}

/** Whether on every bearing of a disc something nearer was found. */
function isBehind(
  farMm: Float64Array,
  { x, y, radius, near }: { readonly x: number; readonly y: number; readonly radius: number; readonly near: number },
): boolean {
  const middle = Math.sqrt(x * x + y * y);
  if (middle <= radius) return false;
  const half = Math.asin(radius / middle);
  const at = Math.atan2(y, x);
  const first = bearing(at - half);
  const last = bearing(at + half);
  for (let b = first; ; b = (b + 1) % NUM_BEARINGS) {
    if (farMm[b]! > near) return false;
    if (b === last) return true;
  }
}

const STEP = (2 * Math.PI) / NUM_BEARINGS;
const COS = Float64Array.from({ length: NUM_BEARINGS }, (_, b) => Math.cos((b + 0.5) * STEP));
const SIN = Float64Array.from({ length: NUM_BEARINGS }, (_, b) => Math.sin((b + 0.5) * STEP));

function bearing(angle: number): number {
  const b = Math.floor(angle / STEP) % NUM_BEARINGS;
  return b < 0 ? b + NUM_BEARINGS : b;
}

function addLeaf(around: StandingAround, leaf: number, layer: LayerAround): void {
  const { tree, frame: f, cut } = around;
  const p = tree.slotCorners;
  const end = (leaf >>> 4) + (leaf & 15);
  for (let slot = leaf >>> 4; slot < end; slot++) {
    let low = Infinity;
    let high = -Infinity;
    for (let c = 0; c < 3; c++) {
      const x = p[slot * 9 + c * 3]! - f[0]!;
      const y = p[slot * 9 + c * 3 + 1]! - f[1]!;
      const z = p[slot * 9 + c * 3 + 2]! - f[2]!;
      const up = x * f[3]! + y * f[4]! + z * f[5]!;
      cut[c * 3] = x * f[6]! + y * f[7]! + z * f[8]!;
      cut[c * 3 + 1] = x * f[9]! + y * f[10]! + z * f[11]!;
      cut[c * 3 + 2] = up;
      if (up < low) low = up;
      if (up > high) high = up;
    }
    if (high <= layer.overMm || low >= layer.upToMm) continue;
    let num = 3;
    let from = cut;
    if (low < layer.overMm) {
      num = keptAbove(from, num, around.other, { level: layer.overMm, sign: 1 });
      from = around.other;
    }
    if (high > layer.upToMm) {
      const into = from === cut ? around.other : cut;
      num = keptAbove(from, num, into, { level: -layer.upToMm, sign: -1 });
      from = into;
    }
    addPolygon(around, from, num);
  }
}

/** The part of a convex polygon with sign z >= level. */
function keptAbove(
  from: Float64Array,
  num: number,
  into: Float64Array,
  { level, sign }: { readonly level: number; readonly sign: 1 | -1 },
): number {
  let kept = 0;
  for (let c = 0; c < num; c++) {
    const a = c * 3;
    const b = ((c + 1) % num) * 3;
    const overA = sign * from[a + 2]! - level;
    const overB = sign * from[b + 2]! - level;
    if (overA >= 0) {
      for (let k = 0; k < 3; k++) into[kept * 3 + k] = from[a + k]!;
      kept++;
    }
    if (overA >= 0 === overB >= 0) continue;
    const share = overA / (overA - overB);
    for (let k = 0; k < 3; k++) into[kept * 3 + k] = from[a + k]! + share * (from[b + k]! - from[a + k]!);
    kept++;
  }
  return kept;
}

/** Its corners, and the edges between them on every bearing that they cross. */
function addPolygon({ x, y, farMm, corner }: StandingAround, p: Float64Array, num: number): void {
  for (let c = 0; c < num; c++) {
    const px = p[c * 3]!;
    const py = p[c * 3 + 1]!;
    const b = bearing(Math.atan2(py, px));
    corner[c] = b;
    const far = Math.sqrt(px * px + py * py);
    if (far >= farMm[b]!) continue;
    farMm[b] = far;
    x[b] = px;
    y[b] = py;
  }
  for (let c = 0; c < num; c++) {
    const next = c + 1 === num ? 0 : c + 1;
    if (corner[c] !== corner[next])
      addEdge({ x, y, farMm }, p, c * 3, { to: next * 3, first: corner[c]!, last: corner[next]! });
  }
}

/** Where the bearings between those of its ends cross an edge that does not run straight at the place. */
function addEdge(
  { x, y, farMm }: Pick<StandingAround, 'x' | 'y' | 'farMm'>,
  p: Float64Array,
  a: number,
  { to, first, last }: { readonly to: number; readonly first: number; readonly last: number },
): void {
  const ax = p[a]!;
  const ay = p[a + 1]!;
  const dx = p[to]! - ax;
  const dy = p[to + 1]! - ay;
  const cross = ax * dy - ay * dx;
  if (cross === 0) return;
  const step = cross > 0 ? 1 : NUM_BEARINGS - 1;
  for (let k = first; ; k = (k + step) % NUM_BEARINGS) {
    const along = cross / (COS[k]! * dy - SIN[k]! * dx);
    if (along > 0 && along < farMm[k]!) {
      const px = along * COS[k]!;
      const py = along * SIN[k]!;
      // the bearings at both ends may pass beside the edge
      const share = (px - ax) * dx + (py - ay) * dy;
      if ((k !== first && k !== last) || (share >= 0 && share <= dx * dx + dy * dy)) {
        farMm[k] = along;
        x[k] = px;
        y[k] = py;
      }
    }
    if (k === last) return;
  }
}
