// Moves one piece away from another step by step and looks whether edges of one go through triangles of the other: boxes by an
// independent library, the rest plain arithmetic.
import { Box3, BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';

/** First steps are small: a tongue that catches does so at once; the last is beyond any bow. mm. */
export const SWEEP_MM = [0.02, 0.1, 0.5, 2, 6, 15] as const;

/** Shallower crossings are rounding, mm. */
const CROSSING_MM = 1e-4;

/** Steps, mm, at which the two touch when `moved` goes that far along the unit direction and `still` stays. */
export function collisionSweep(still: Mesh, moved: Mesh, along: Vec3, stepsMm: readonly number[] = SWEEP_MM): number[] {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(still.positions), 3));
  geometry.setIndex(new BufferAttribute(still.triangles.slice(), 1));
  const tree = new MeshBVH(geometry, { indirect: true });
  return stepsMm.filter((mm) => {
    const positions = moved.positions.map((value, i) => value + mm * along[i % 3]!);
    return isTouching(still, tree, { ...moved, positions });
  });
}

function isTouching(still: Mesh, tree: MeshBVH, moved: Mesh): boolean {
  const box = new Box3();
  const whole = tree.getBoundingBox(new Box3());
  const point = new Vector3();
  for (let tri = 0; tri < moved.triangles.length; tri += 3) {
    const own = cornersOf(moved, tri);
    box.makeEmpty();
    for (const corner of own) box.expandByPoint(point.set(...corner));
    box.expandByScalar(1e-3);
    if (!box.intersectsBox(whole)) continue;
    const touches = tree.shapecast({
      intersectsBounds: (node) => node.intersectsBox(box),
      intersectsTriangle: (_, other) => {
        const theirs = cornersOf(still, other * 3);
        return [0, 1, 2].some(
          (k) => goesThrough(own[k]!, own[(k + 1) % 3]!, theirs) || goesThrough(theirs[k]!, theirs[(k + 1) % 3]!, own),
        );
      },
    });
    if (touches) return true;
  }
  return false;
}

type Point = [number, number, number];
type Triangle = readonly [Point, Point, Point];

function cornersOf({ positions: p, triangles: t }: Mesh, at: number): Triangle {
  const corner = (k: number): Point => {
    const v = t[at + k]! * 3;
    return [p[v]!, p[v + 1]!, p[v + 2]!];
  };
  return [corner(0), corner(1), corner(2)];
}

const less = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Point, b: Point): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** Whether the edge from p to q passes through the inside of a triangle, with more than rounding on either side of it. */
function goesThrough(p: Point, q: Point, [a, b, c]: Triangle): boolean {
  const n = cross(less(b, a), less(c, a));
  const length = Math.hypot(...n);
  if (length < 1e-12) return false;
  const over = dot(less(p, a), n) / length;
  const under = dot(less(q, a), n) / length;
  if (Math.min(over, under) > -CROSSING_MM || Math.max(over, under) < CROSSING_MM) return false;
  const s = over / (over - under);
  const at: Point = [p[0] + s * (q[0] - p[0]), p[1] + s * (q[1] - p[1]), p[2] + s * (q[2] - p[2])];
  return [
    [a, b],
    [b, c],
    [c, a],
  ].every(([from, to]) => {
    const side = less(to!, from!);
    return dot(cross(side, less(at, from!)), n) / (length * Math.hypot(...side)) > CROSSING_MM;
  });
}
