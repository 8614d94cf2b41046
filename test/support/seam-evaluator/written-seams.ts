// What the seams of finished pieces cost, found from the pieces alone: where the model's own surface meets anything else.
import type { Mesh } from '../../../src/mesh/mesh.ts';
import { CRUMB } from './plane-division.ts';
import type { PricedModel } from './priced-model.ts';

/** Nearer than this is on the model; pieces are written in single precision. */
const ON_MM = 0.004;
/** And turned the same way. */
const SAME_WAY = 0.8;
/** Prices are looked up at least this often along a line, mm. */
const STEP_MM = 3;

/** Plain pieces in model space at worn size: numTris x 9 coordinates each. */
export type Corners = Float64Array;

export function cornersOf({ positions, triangles }: Mesh): Corners {
  const out = new Float64Array(3 * triangles.length);
  for (let i = 0; i < triangles.length; i++)
    out.set(positions.subarray(3 * triangles[i]!, 3 * triangles[i]! + 3), 3 * i);
  return out;
}

export interface WrittenSeams {
  /** Connected solids, crumbs left out. */
  readonly pieces: number;
  readonly crumbs: number;
  /** Lines on the outside, each counted once though two pieces carry it. */
  readonly seamMm: number;
  readonly costMm: number;
}

/** Linear in the triangles of the pieces, a few nearest-point searches each. */
export function writtenSeams(model: PricedModel, pieces: readonly Corners[]): WrittenSeams {
  let [seamMm, costMm] = [0, 0];
  const volumes: number[] = [];
  for (const corners of pieces) {
    const verts = vertsOf(corners);
    volumes.push(...solidVolumes(corners, verts));
    const isOn = Uint8Array.from({ length: corners.length / 9 }, (_, t) => (liesOn(model, { corners, t }) ? 1 : 0));
    for (const corner of seamCorners(verts, isOn)) {
      const line = lineOf(model, { corners, corner });
      seamMm += line.seamMm / 2;
      costMm += line.costMm / 2;
    }
  }
  volumes.sort((a, b) => b - a);
  let sum = 0;
  const kept = volumes.findIndex((volume, i) => {
    if (i > 0 && volume < (CRUMB * sum) / i) return true;
    sum += volume;
    return false;
  });
  const count = kept < 0 ? volumes.length : kept;
  return { pieces: count, crumbs: volumes.length - count, seamMm, costMm };
}

/** The middle and a point towards each corner are on the model, and the middle is turned as the model is there. */
function liesOn(model: PricedModel, { corners, t }: { corners: Corners; t: number }): boolean {
  const at = [0, 1, 2].map((k) => corners.subarray(9 * t + 3 * k, 9 * t + 3 * k + 3));
  const middle = [0, 1, 2].map((c) => (at[0]![c]! + at[1]![c]! + at[2]![c]!) / 3);
  const place = model.tree.nearest(middle);
  if (place.distanceMm > ON_MM) return false;
  for (const corner of at) {
    const p = middle.map((m, c) => 0.4 * m + 0.6 * corner[c]!);
    if (model.tree.nearest(p).distanceMm > ON_MM) return false;
  }
  const normal = normalOf(at);
  // too thin to have a normal: it lies on the model, so it counts to it
  if (normal === null) return true;
  const n = model.normals.subarray(3 * place.tri, 3 * place.tri + 3);
  return normal[0] * n[0]! + normal[1] * n[1]! + normal[2] * n[2]! > SAME_WAY || isAtFold(model, place.tri, normal);
}

/** Beside an edge of the model the nearest triangle may be the neighbour's. */
function isAtFold(model: PricedModel, tri: number, normal: readonly [number, number, number]): boolean {
  for (let k = 0; k < 3; k++) {
    const other = model.across[3 * tri + k]!;
    if (other < 0) continue;
    const n = model.normals.subarray(3 * other, 3 * other + 3);
    if (normal[0] * n[0]! + normal[1] * n[1]! + normal[2] * n[2]! > 0.999) return true;
  }
  return false;
}

function normalOf([a, b, c]: readonly Float64Array[]): [number, number, number] | null {
  const u = [0, 1, 2].map((i) => b![i]! - a![i]!);
  const v = [0, 1, 2].map((i) => c![i]! - a![i]!);
  const n = [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!] as const;
  const length = Math.hypot(n[0], n[1], n[2]);
  const longest = Math.max(Math.hypot(u[0]!, u[1]!, u[2]!), Math.hypot(v[0]!, v[1]!, v[2]!));
  if (length < 2e-3 * longest) return null;
  return [n[0] / length, n[1] / length, n[2] / length];
}

/** Corners of triangles on the model whose edge to the next corner is shared with a triangle that is not. */
function seamCorners(verts: Uint32Array, isOn: Uint8Array): number[] {
  const edges = new Map<number, number>();
  const count = verts.reduce((most, v) => Math.max(most, v), 0) + 1;
  for (let corner = 0; corner < verts.length; corner++) {
    if (isOn[Math.floor(corner / 3)] === 1) continue;
    edges.set(verts[corner]! * count + verts[nextCorner(corner)]!, corner);
  }
  const out: number[] = [];
  for (let corner = 0; corner < verts.length; corner++) {
    if (isOn[Math.floor(corner / 3)] === 0) continue;
    if (edges.has(verts[nextCorner(corner)]! * count + verts[corner]!)) out.push(corner);
  }
  return out;
}

function nextCorner(corner: number): number {
  return corner % 3 === 2 ? corner - 2 : corner + 1;
}

function lineOf(
  model: PricedModel,
  { corners, corner }: { corners: Corners; corner: number },
): { seamMm: number; costMm: number } {
  const t = Math.floor(corner / 3);
  const a = corners.subarray(3 * corner, 3 * corner + 3);
  const next = nextCorner(corner);
  const b = corners.subarray(3 * next, 3 * next + 3);
  const middle = [0, 1, 2].map((c) => (corners[9 * t + c]! + corners[9 * t + 3 + c]! + corners[9 * t + 6 + c]!) / 3);
  const length = Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!, a[2]! - b[2]!);
  const steps = Math.max(1, Math.ceil(length / STEP_MM));
  let [seamMm, costMm] = [0, 0];
  for (let i = 0; i < steps; i++) {
    const share = (i + 0.5) / steps;
    // a little into its own triangle, so that a line in a fold is priced on this side
    const p = [0, 1, 2].map((c) => 0.95 * (a[c]! + share * (b[c]! - a[c]!)) + 0.05 * middle[c]!);
    const { tri } = model.tree.nearest(p);
    if (model.exposure.outside[tri] === 0) continue;
    seamMm += length / steps;
    costMm += (length / steps) * model.price[tri]!;
  }
  return { seamMm, costMm };
}

/** Vertices joined by equal coordinates, a corner. */
export function vertsOf(corners: Corners): Uint32Array {
  const names = new Map<string, number>();
  return Uint32Array.from({ length: corners.length / 3 }, (_, i) => {
    const key = `${corners[3 * i]! + 0},${corners[3 * i + 1]! + 0},${corners[3 * i + 2]! + 0}`;
    const known = names.get(key);
    if (known !== undefined) return known;
    names.set(key, names.size);
    return names.size - 1;
  });
}

/** Volumes of the closed surfaces of a piece; a cavity is inside out and belongs to the solid about it. */
function solidVolumes(corners: Corners, verts: Uint32Array): number[] {
  const parent = Int32Array.from({ length: verts.length }, (_, v) => v);
  const rootOf = (v: number): number => {
    let at = v;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let t = 0; t < verts.length; t += 3)
    for (let k = 1; k < 3; k++) parent[rootOf(verts[t]!)] = rootOf(verts[t + k]!);
  const volumes = new Map<number, number>();
  for (let t = 0; t < verts.length / 3; t++) {
    const root = rootOf(verts[3 * t]!);
    volumes.set(root, (volumes.get(root) ?? 0) + tetraVolume(corners, t));
  }
  return [...volumes.values()].filter((volume) => volume > 0);
}

function tetraVolume(corners: Corners, t: number): number {
  const [ax, ay, az, bx, by, bz, cx, cy, cz] = corners.subarray(9 * t, 9 * t + 9) as unknown as number[];
  return (ax! * (by! * cz! - bz! * cy!) + ay! * (bz! * cx! - bx! * cz!) + az! * (bx! * cy! - by! * cx!)) / 6;
}
