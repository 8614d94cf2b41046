// Whether finished pieces are closed, fit and lose nothing, and whether any crosses itself: plain counts on triangles.
import { Box3, BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { plainBadEdges, plainVolume } from '../plain-stl.ts';
import type { Size } from './fit.ts';
import type { Corners } from './written-seams.ts';

/** Edges that are not used once in each direction, over all pieces. */
export function badEdgesOf(pieces: readonly Corners[]): number {
  return pieces.reduce((sum, corners) => sum + plainBadEdges(corners), 0);
}

/** How far the sum of the volumes is from the model's, as a share of it. */
export function volumeOff(pieces: readonly Corners[], modelVolumeMm3: number): number {
  return Math.abs(pieces.reduce((sum, corners) => sum + plainVolume(corners), 0) / modelVolumeMm3 - 1);
}

/** How far a laid piece stands out of the room of its bed; negative when it has room. */
export function standsOutMm(laid: Corners, room: Size): number {
  let over = -Infinity;
  for (let i = 0; i < laid.length; i++) over = Math.max(over, -laid[i]!, laid[i]! - room[i % 3]!);
  return over;
}

/** Shallower crossings are rounding of the file, mm. */
const CROSSING_MM = 1e-4;

/** Pairs of an edge and a triangle of the same piece that the edge goes through, by more than rounding. */
export function selfCrossings(corners: Corners): number {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(corners), 3));
  const tree = new MeshBVH(geometry, { indirect: true });
  const box = new Box3();
  const point = new Vector3();
  let found = 0;
  for (let t = 0; t < corners.length / 9; t++) {
    box.makeEmpty();
    for (let k = 0; k < 3; k++)
      box.expandByPoint(point.set(corners[9 * t + 3 * k]!, corners[9 * t + 3 * k + 1]!, corners[9 * t + 3 * k + 2]!));
    box.expandByScalar(1e-3);
    tree.shapecast({
      intersectsBounds: (own) => own.intersectsBox(box),
      intersectsTriangle: (_, other) => {
        if (other !== t) for (let k = 0; k < 3; k++) if (goesThrough(corners, { t, k, other })) found++;
        return false;
      },
    });
  }
  return found;
}

function goesThrough(corners: Corners, { t, k, other }: { t: number; k: number; other: number }): boolean {
  const p = pointAt(corners, 9 * t + 3 * k);
  const q = pointAt(corners, 9 * t + 3 * ((k + 1) % 3));
  const [a, b, c] = [0, 3, 6].map((shift) => pointAt(corners, 9 * other + shift)) as [Point, Point, Point];
  for (const corner of [a, b, c]) if (same(corner, p) || same(corner, q)) return false;
  const n = cross(less(b, a), less(c, a));
  const length = Math.hypot(...n);
  if (length < 1e-12) return false;
  const hp = dot(less(p, a), n) / length;
  const hq = dot(less(q, a), n) / length;
  if (!((hp > CROSSING_MM && hq < -CROSSING_MM) || (hp < -CROSSING_MM && hq > CROSSING_MM))) return false;
  const share = hp / (hp - hq);
  const at: Point = [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1]), p[2] + share * (q[2] - p[2])];
  for (const [from, to] of [
    [a, b],
    [b, c],
    [c, a],
  ] as const) {
    const along = less(to, from);
    if (dot(cross(along, less(at, from)), n) / (length * Math.hypot(...along)) < CROSSING_MM) return false;
  }
  return true;
}

type Point = readonly [number, number, number];
const pointAt = (corners: Corners, i: number): Point => [corners[i]!, corners[i + 1]!, corners[i + 2]!];
const same = (a: Point, b: Point): boolean => a[0] === b[0] && a[1] === b[1] && a[2] === b[2];
const less = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Point, b: Point): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
