// How thick the wall is at each triangle: the largest ball inside it, and the shortest way through in a narrow cone.
import { QUIET_WORK, type Work } from '../../base/work.ts';
import type { BoundingTree } from '../../mesh/bounding-tree.ts';
import { areaNormals, bounds, sizeOf } from '../../mesh/measure.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { carryOver } from './carry-over.ts';
import { areasOf, chooseByArea } from './choose-by-area.ts';
import { ballOutOfCorner, ballSearch, touchingBall } from './inscribed-ball.ts';
import { coneSearch, narrowCone } from './narrow-cone.ts';
import type { TriThickness } from './normal-ray-thickness.ts';

export { areaPercentiles } from './area-percentiles.ts';

export interface WallThickness extends TriThickness {
  /** numTris: the wall, mm: diameter of the ball at the centroid, let out of a corner. Infinity where nothing lies behind a triangle and where
   *  it has no area. */
  readonly perTriMm: Float32Array;
  /** numTris: the same before it was let out: small beside every convex edge. */
  readonly ballMm: Float32Array;
  /** numTris: shortest way through in a cone of 15 degrees half angle. */
  readonly coneMm: Float32Array;
  /** numTris: 1 where the triangle was measured, 0 where it has the numbers of a measured one near it. */
  readonly measured: Uint8Array;
}

export const WALL_DEFAULTS = {
  /** No more triangles than about this are measured; the others take over the numbers of the nearest. */
  mostMeasured: 150_000,
} as const;

/** Surfaces closer to the centroid than this share of the mesh's diagonal do not count: a triangle lying on top of its like. */
const NEAREST_SHARE = 1e-7;

/** The wall at every triangle of a closed mesh. Of the three numbers the ball let out of its corner is the wall: it never
 *  exceeds the cone by more than 3.5 percent on a wall, reports the width and not the length of the wall on a rim, the shortest way
 *  through in a wedge, and does not sink to zero beside an edge as the other two do.
 *  Space: that of the mesh. Cost: some 30 us a measured triangle, 5 to 10 s for a million triangles.
 *  Method: docs/methods/wall-thickness.md. Weak: what is smaller than the spacing of the measured triangles can be missed when
 *  there are more than `mostMeasured`; corners sharper than 80 degrees read thin, as they are. */
export function wallThickness(
  mesh: Mesh,
  tree: BoundingTree,
  work: Work = QUIET_WORK,
  options: { readonly mostMeasured: number } = WALL_DEFAULTS,
): WallThickness {
  const normals = areaNormals(mesh);
  const areaMm2 = areasOf(normals);
  const measured = chooseByArea(areaMm2, options.mostMeasured, work.seed);
  const wall: WallThickness = {
    perTriMm: new Float32Array(areaMm2.length).fill(Infinity),
    ballMm: new Float32Array(areaMm2.length).fill(Infinity),
    coneMm: new Float32Array(areaMm2.length).fill(Infinity),
    areaMm2,
    measured,
  };
  measure(mesh, tree, { wall, normals, work });
  if (measured.length > options.mostMeasured)
    carryOver(mesh, normals, { measured, areaMm2, numbers: [wall.perTriMm, wall.ballMm, wall.coneMm] });
  return wall;
}

function measure(
  mesh: Mesh,
  tree: BoundingTree,
  { wall, normals, work }: { wall: WallThickness; normals: Float64Array; work: Work },
): void {
  const count = numTris(mesh);
  if (count === 0) return;
  const size = sizeOf(bounds(mesh));
  const from = NEAREST_SHARE * Math.hypot(...size);
  const ball = ballSearch(tree, (LARGEST_SHARE * Math.hypot(...size)) / 2);
  const cone = coneSearch(tree, from);
  const at = new Float64Array(9);
  for (let tri = 0; tri < count; tri++) {
    if ((tri & 1023) === 0) work.tick(tri / count, 'measuring the wall');
    if (wall.measured[tri] === 0 || !(wall.areaMm2[tri]! > 0)) continue;
    placeOn(mesh, normals, tri, at);
    const coneMm = narrowCone(cone, at, tri);
    wall.coneMm[tri] = coneMm;
    if (coneMm === Infinity) continue;
    const radius = touchingBall(ball, at, coneMm / 2 / CONE_SLACK);
    const largest = ballOutOfCorner(ball, at, radius);
    const isOver = largest > (1 - 1e-6) * ball.mostMm;
    wall.ballMm[tri] = radius > (1 - 1e-6) * ball.mostMm ? Math.max(coneMm, 2 * radius) : 2 * radius;
    wall.perTriMm[tri] = isOver ? Math.max(coneMm, 2 * largest) : 2 * largest;
  }
}

/** No ball is sought whose diameter is more than this share of the mesh's diagonal: no wall, and dear to find in the middle of a solid, from
 *  which everything is equally near. The cone is reported instead. */
const LARGEST_SHARE = 0.3;

/** A ball of diameter d holds the slanting rays up to d cos(15 degrees): the cone bounds the ball. A shade more, for rounding. */
const CONE_SLACK = 0.96;

/** at: centroid, unit normal inward, unit vector along the first side. */
function placeOn({ positions, triangles }: Mesh, normals: Float64Array, tri: number, at: Float64Array): void {
  const t = tri * 3;
  const a = triangles[t]! * 3;
  const b = triangles[t + 1]! * 3;
  const c = triangles[t + 2]! * 3;
  let [length, side] = [0, 0];
  for (let k = 0; k < 3; k++) {
    length += normals[t + k]! ** 2;
    side += (positions[b + k]! - positions[a + k]!) ** 2;
  }
  length = Math.sqrt(length);
  side = Math.sqrt(side);
  for (let k = 0; k < 3; k++) {
    at[k] = (positions[a + k]! + positions[b + k]! + positions[c + k]!) / 3;
    at[3 + k] = -normals[t + k]! / length;
    at[6 + k] = (positions[b + k]! - positions[a + k]!) / side;
  }
}
