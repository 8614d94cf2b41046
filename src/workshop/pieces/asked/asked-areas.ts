// Areas of the outside that the maker keeps clear of seams: which of the surface lies in one, and how much of a line crosses it.
import { planeFrame } from '../../../geometry/plane.ts';
import { cross, dot, minus, plus, scaled, unit } from '../../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import { meanNormal } from '../../process/asked-plane.ts';
import type { ClearArea } from '../../process/asked-seams.ts';

/** An area at worn size, as a column over its outline. */
export interface WornArea {
  /** Its place in the list of the build file. */
  readonly index: number;
  readonly middleMm: Vec3;
  /** Mean outward normal of the outline, and two directions square to it. */
  readonly n: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  /** Outline along u and v from the middle, two numbers a point, mm. */
  readonly outline: Float64Array;
  /** How far from the middle, along n, the surface may lie. */
  readonly lowMm: number;
  readonly highMm: number;
}

/** The outline is projected along its mean normal. What lies in it, faces that way and stands no farther from the outline than it is
 *  wide belongs to the area: its inside across the wall does not, nor the far side of the model. Weak: an outline that
 *  goes more than half round the model has no such direction, and what is folded under itself within it counts by its facing. */
export function wornArea(area: ClearArea, index: number, scale: number): WornArea {
  const points = area.outline.map(({ atMm }) => scaled(atMm, scale));
  const middleMm = scaled(points.reduce(plus), 1 / points.length);
  const facing = meanNormal(area.outline);
  const n = Math.hypot(...facing) > LEAST_FACING ? unit(facing) : unit(roundNormal(points, middleMm));
  const { u, v } = planeFrame(n);
  const outline = new Float64Array(points.length * 2);
  const heights: number[] = [];
  let width = 0;
  points.forEach((point, i) => {
    const d = minus(point, middleMm);
    outline[i * 2] = dot(d, u);
    outline[i * 2 + 1] = dot(d, v);
    heights.push(dot(d, n));
    width = Math.max(width, Math.hypot(outline[i * 2]!, outline[i * 2 + 1]!));
  });
  return {
    index,
    middleMm,
    n,
    u,
    v,
    outline,
    lowMm: Math.min(...heights) - width,
    highMm: Math.max(...heights) + width,
  };
}

/** Under this the normals of an outline point all ways, and its own turn tells which way it faces. */
const LEAST_FACING = 0.2;

/** Normal of a loop by its turn (Newell's sum). */
function roundNormal(points: readonly Vec3[], middle: Vec3): Vec3 {
  return points
    .map((point, i) => cross(minus(point, middle), minus(points[(i + 1) % points.length]!, middle)))
    .reduce(plus);
}

/** Whether a point lies in the column of the area. */
export function isOver(area: WornArea, at: Vec3): boolean {
  const d = minus(at, area.middleMm);
  const height = dot(d, area.n);
  if (height < area.lowMm || height > area.highMm) return false;
  return isWithin(area.outline, dot(d, area.u), dot(d, area.v));
}

/** By the count of edges that a ray to the right crosses. */
function isWithin(outline: Float64Array, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 2; i < outline.length; j = i, i += 2) {
    const [xi, yi, xj, yj] = [outline[i]!, outline[i + 1]!, outline[j]!, outline[j + 1]!];
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

/** Per point 1 + index of the first area it belongs to, 0 for none. points, normals: n x 3. Cost: O(n x areas), and corners of an
 *  outline for the few within its reach. */
export function areasAt(areas: readonly WornArea[], points: Float64Array, normals: Float64Array): Uint8Array {
  const out = new Uint8Array(points.length / 3);
  for (let i = 0; i < out.length; i++) {
    const at: Vec3 = [points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!];
    const facing: Vec3 = [normals[i * 3]!, normals[i * 3 + 1]!, normals[i * 3 + 2]!];
    const found = areas.findIndex((area) => dot(facing, area.n) > 0 && isOver(area, at));
    out[i] = found + 1;
  }
  return out;
}

/** The same per triangle, by its middle. Cost: O(triangles x areas). */
export function areasOfTriangles(areas: readonly WornArea[], { positions: p, triangles: t }: Mesh): Uint8Array {
  const out = new Uint8Array(t.length / 3);
  if (areas.length === 0) return out;
  const corner = (at: number): Vec3 => [p[at]!, p[at + 1]!, p[at + 2]!];
  for (let tri = 0; tri < out.length; tri++) {
    const a = corner(t[tri * 3]! * 3);
    const b = corner(t[tri * 3 + 1]! * 3);
    const c = corner(t[tri * 3 + 2]! * 3);
    const facing = cross(minus(b, a), minus(c, a));
    const middle = scaled(plus(plus(a, b), c), 1 / 3);
    out[tri] = areas.findIndex((area) => dot(facing, area.n) > 0 && isOver(area, middle)) + 1;
  }
  return out;
}

/** How much of a line on the outside lies in the area, mm, step by step at the middle of each. points: xyz interleaved. */
export function lineWithin(area: WornArea, points: Float32Array | Float64Array): number {
  let mm = 0;
  for (let i = 0; i + 5 < points.length; i += 3) {
    const a: Vec3 = [points[i]!, points[i + 1]!, points[i + 2]!];
    const b: Vec3 = [points[i + 3]!, points[i + 4]!, points[i + 5]!];
    if (isOver(area, scaled(plus(a, b), 0.5))) mm += Math.hypot(...minus(b, a));
  }
  return mm;
}
