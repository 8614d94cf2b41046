// An independent test of what lies on a bed: true shadows of meshes as triangles, their gap by brute force over a grid of buckets.
// Shares no code with the packing: no raster, no outlines, only triangles as they are projected.
import type { Mesh } from '../../../src/mesh/mesh.ts';

export interface PlacedMesh {
  readonly mesh: Mesh;
  readonly turnDeg: number;
  readonly atMm: readonly [number, number];
}

type Point = readonly [number, number];
type Triangle = readonly [Point, Point, Point];

/** Triangles on the bed, projected, turned and shifted. */
export function shadowTriangles({ mesh, turnDeg, atMm }: PlacedMesh): Triangle[] {
  const rad = (turnDeg / 180) * Math.PI;
  const corner = (vert: number): Point => {
    const x = mesh.positions[3 * vert]!;
    const y = mesh.positions[3 * vert + 1]!;
    return [x * Math.cos(rad) - y * Math.sin(rad) + atMm[0], x * Math.sin(rad) + y * Math.cos(rad) + atMm[1]];
  };
  const out: Triangle[] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3)
    out.push([corner(mesh.triangles[t]!), corner(mesh.triangles[t + 1]!), corner(mesh.triangles[t + 2]!)]);
  return out;
}

/** Least distance between two shadows, mm, up to `mostMm`; 0 where they overlap anywhere. */
export function shadowGap(one: readonly Triangle[], other: readonly Triangle[], mostMm: number): number {
  const buckets = new Map<string, Triangle[]>();
  const side = Math.max(10, mostMm);
  const over = ([a, b, c]: Triangle, grow: number, visit: (key: string) => void): void => {
    const [x0, x1] = [Math.min(a[0], b[0], c[0]) - grow, Math.max(a[0], b[0], c[0]) + grow];
    const [y0, y1] = [Math.min(a[1], b[1], c[1]) - grow, Math.max(a[1], b[1], c[1]) + grow];
    for (let i = Math.floor(x0 / side); i <= Math.floor(x1 / side); i++)
      for (let j = Math.floor(y0 / side); j <= Math.floor(y1 / side); j++) visit(`${i} ${j}`);
  };
  for (const triangle of one)
    over(triangle, 0, (key) => void buckets.set(key, [...(buckets.get(key) ?? []), triangle]));
  let least = mostMm;
  for (const triangle of other)
    over(triangle, mostMm, (key) => {
      for (const mine of buckets.get(key) ?? []) least = Math.min(least, triangleGap(mine, triangle));
    });
  return least;
}

function triangleGap(one: Triangle, other: Triangle): number {
  if (one.some((point) => isInside(point, other)) || other.some((point) => isInside(point, one))) return 0;
  let least = Infinity;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) {
      const [a, b] = [one[i]!, one[(i + 1) % 3]!];
      const [c, d] = [other[j]!, other[(j + 1) % 3]!];
      if (crosses(a, b, c, d)) return 0;
      least = Math.min(least, pointToEdge(a, c, d), pointToEdge(b, c, d), pointToEdge(c, a, b), pointToEdge(d, a, b));
    }
  return least;
}

function turn(a: Point, b: Point, c: Point): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

function isInside(point: Point, [a, b, c]: Triangle): boolean {
  const sides = [turn(a, b, point), turn(b, c, point), turn(c, a, point)];
  return sides.every((side) => side > 0) || sides.every((side) => side < 0);
}

function crosses(a: Point, b: Point, c: Point, d: Point): boolean {
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

function pointToEdge(point: Point, a: Point, b: Point): number {
  const length = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2;
  const along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / (length === 0 ? 1 : length);
  const share = Math.max(0, Math.min(1, along));
  return Math.hypot(point[0] - a[0] - share * (b[0] - a[0]), point[1] - a[1] - share * (b[1] - a[1]));
}
