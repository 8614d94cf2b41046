// How high the inside of a wall stands under a key: heights over the key's own frame, by rays from inside.

import { fitQuadratic, heightOf, type Quadratic, slopeOf } from '../../../geometry/quadratic-fit.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { raycast } from '../../../mesh/ray.ts';
import { inSpace } from './inner-lines.ts';
import type { GroundPiece } from './key-ground.ts';

/** Right-handed: along x into = inward. Of a key it is Key.atMm, along, into, inward. */
export interface KeyFrame {
  readonly at: Vec3;
  readonly along: Vec3;
  readonly into: Vec3;
  readonly inward: Vec3;
}

/** The seam's inner edge in the frame: into and inward over along. */
export interface EdgeLine {
  /** num, rising. */
  readonly along: Float64Array;
  readonly into: Float64Array;
  readonly inward: Float64Array;
}

export interface FieldGrid {
  readonly alongMm: Float64Array;
  /** From the seam's edge on, rising, > 0. */
  readonly depthMm: Float64Array;
  /** 1: on the side that `into` points to. -1: on the other. */
  readonly side: 1 | -1;
}

/** Heights of one wall beside the seam. */
export interface KeyField extends FieldGrid {
  /** alongMm x depthMm, mm along `inward` from the place of the key. */
  readonly heights: Float64Array;
  /** The smooth surface through them, over along and signed depth (side x depth). */
  readonly smooth: Quadratic;
  /** How far the wall rises over it and lies below it at most. */
  readonly overMm: number;
  readonly underMm: number;
}

/** Why no heights were read. */
export type NoField = 'opening' | 'in the way' | 'steep' | 'another piece' | 'outside';

/** Rays along -inward from `roomMm` over the wall, from the seam's edge outward step by step; each step may rise or fall by what a wall does that
 *  leans as far as a key can follow. Refuses, with the reason: no wall there, something within the room over it, steeper than STEEP.
 *  Cost: one ray a point. Space: that of the piece (worn). Heights are exact at the grid's points; between them a key keeps the highest near it. */
export function castField(
  piece: GroundPiece,
  frame: KeyFrame,
  edge: EdgeLine,
  by: FieldGrid & { readonly roomMm: number; readonly seen: Uint8Array },
): KeyField | NoField {
  const { alongMm, depthMm, side, roomMm } = by;
  const heights = new Float64Array(alongMm.length * depthMm.length);
  const down: Vec3 = [-frame.inward[0], -frame.inward[1], -frame.inward[2]];
  for (let i = 0; i < alongMm.length; i++) {
    const s0 = edgeAt(edge, edge.into, alongMm[i]!);
    let [d2, h2, d1, h1] = [-1, Number.NaN, 0, edgeAt(edge, edge.inward, alongMm[i]!)];
    for (let j = 0; j < depthMm.length; j++) {
      const d = depthMm[j]!;
      const step = d - d1;
      const known = j >= 2 && step <= 2 * (d1 - d2);
      const expected = known ? h1 + ((h1 - h2) * step) / (d1 - d2) : h1;
      const slack = SLACK_MM + (known ? BEND : STEEP) * step;
      const from = inSpace(frame, alongMm[i]!, s0 + side * d, expected + roomMm);
      const hit = raycast(piece.tree, from, down, { to: roomMm + slack });
      if (hit === null) return 'opening';
      const source = piece.sourceTri[hit.tri]!;
      if (source < 0) return 'another piece';
      const facing = dot(normalOf(piece, hit.tri), frame.inward);
      const h = expected + roomMm - hit.t;
      if (facing <= 0 || h > expected + slack) return 'in the way';
      if (by.seen[source]! > 0) return 'outside';
      if (facing < LEAST_FACING) return 'steep';
      heights[i * depthMm.length + j] = h;
      [d2, h2, d1, h1] = [d1, h1, d, h];
    }
  }
  return withSmooth({ alongMm, depthMm, side, heights });
}

/** A wall may lean by so much per mm, and bend by so much more from one step to the next. */
const STEEP = 2.3;
const BEND = 0.8;
const SLACK_MM = 0.4;
/** Cosine between the wall and `inward`: 67 degrees. */
const LEAST_FACING = 0.39;

function withSmooth(grid: FieldGrid & { readonly heights: Float64Array }): KeyField {
  const { alongMm, depthMm, side, heights } = grid;
  const points = new Float64Array(heights.length * 3);
  for (let i = 0, p = 0; i < alongMm.length; i++)
    for (let j = 0; j < depthMm.length; j++, p++) points.set([alongMm[i]!, side * depthMm[j]!, heights[p]!], p * 3);
  const smooth = fitQuadratic(points);
  let [overMm, underMm] = [0, 0];
  for (let p = 0; p < points.length; p += 3) {
    const off = points[p + 2]! - heightOf(smooth, points[p]!, points[p + 1]!);
    overMm = Math.max(overMm, off);
    underMm = Math.max(underMm, -off);
  }
  return { ...grid, smooth, overMm, underMm };
}

/** Of `into` or `inward`: where the edge lies at a place along the seam. */
export function edgeAt({ along }: EdgeLine, values: Float64Array, a: number): number {
  let [low, high] = [0, along.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (along[middle]! <= a) low = middle;
    else high = middle;
  }
  const step = along[high]! - along[low]!;
  const f = step > 1e-9 ? Math.min(1, Math.max(0, (a - along[low]!) / step)) : 0;
  return values[low]! + f * (values[high]! - values[low]!);
}

/** The highest and lowest that the wall stands off its smooth surface within `reachMm` of a place. Cost: O(points near). */
export function offNear(field: KeyField, a: number, depth: number, reachMm: number): { over: number; under: number } {
  const { alongMm, depthMm, side, heights, smooth } = field;
  let [over, under] = [-Infinity, -Infinity];
  for (let i = 0; i < alongMm.length; i++) {
    if (Math.abs(alongMm[i]! - a) > reachMm) continue;
    for (let j = 0; j < depthMm.length; j++) {
      if (Math.abs(depthMm[j]! - depth) > reachMm) continue;
      const off = heights[i * depthMm.length + j]! - heightOf(smooth, alongMm[i]!, side * depthMm[j]!);
      over = Math.max(over, off);
      under = Math.max(under, -off);
    }
  }
  return over === -Infinity ? { over: field.overMm, under: field.underMm } : { over, under };
}

/** Slopes of the smooth wall along the seam and along `into` (not along the warped depth), at a place at signed depth. */
export function wallSlope(field: KeyField, edge: EdgeLine, a: number, signedDepth: number): readonly [number, number] {
  const [fa, fd] = slopeOf(field.smooth, a, signedDepth);
  const bend = (edgeAt(edge, edge.into, a + 0.5) - edgeAt(edge, edge.into, a - 0.5)) / 1;
  return [fa - bend * fd, fd];
}

function normalOf({ mesh: { positions: p, triangles: t } }: GroundPiece, tri: number): Vec3 {
  const [a, b, c] = [t[tri * 3]! * 3, t[tri * 3 + 1]! * 3, t[tri * 3 + 2]! * 3];
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const l = Math.hypot(x, y, z) || 1;
  return [x / l, y / l, z / l];
}
