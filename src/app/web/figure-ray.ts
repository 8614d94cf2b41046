// Where a line of sight meets a surface: for pointing at the figure, and for telling whether a mark is hidden.

export interface RaySurface {
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
}

type Triple = readonly [number, number, number];

export interface Hit {
  /** Along the ray, mm; Infinity when it meets nothing. */
  readonly away: number;
  /** The triangle it meets; -1 when there is none. */
  readonly tri: number;
}

/** Distance along a unit direction to the nearest triangle beyond `fromMm`, either side of it; Infinity when there is none. */
export function nearestHit(surface: RaySurface, ray: { origin: Triple; way: Triple }, fromMm = 0): number {
  return nearestTriangle(surface, ray, fromMm).away;
}

/** The nearest triangle along a unit direction beyond `fromMm`, either side of it.
 *  Cost: O(triangles), about 3 ms for 140 thousand. Method: Möller and Trumbore 1997. */
export function nearestTriangle(
  { positions: p, triangles }: RaySurface,
  ray: { origin: Triple; way: Triple },
  fromMm = 0,
): Hit {
  const [ox, oy, oz] = ray.origin;
  const [dx, dy, dz] = ray.way;
  let nearest = Infinity;
  let tri = -1;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ax = p[a]!;
    const ay = p[a + 1]!;
    const az = p[a + 2]!;
    const ux = p[b]! - ax;
    const uy = p[b + 1]! - ay;
    const uz = p[b + 2]! - az;
    const vx = p[c]! - ax;
    const vy = p[c + 1]! - ay;
    const vz = p[c + 2]! - az;
    const px = dy * vz - dz * vy;
    const py = dz * vx - dx * vz;
    const pz = dx * vy - dy * vx;
    const det = ux * px + uy * py + uz * pz;
    if (det === 0) continue;
    const sx = ox - ax;
    const sy = oy - ay;
    const sz = oz - az;
    const first = (sx * px + sy * py + sz * pz) / det;
    if (first < 0 || first > 1) continue;
    const qx = sy * uz - sz * uy;
    const qy = sz * ux - sx * uz;
    const qz = sx * uy - sy * ux;
    const second = (dx * qx + dy * qy + dz * qz) / det;
    if (second < 0 || first + second > 1) continue;
    const away = (vx * qx + vy * qy + vz * qz) / det;
    if (away <= fromMm || away >= nearest) continue;
    nearest = away;
    tri = t / 3;
  }
  return { away: nearest, tri };
}

/** Unit normal of a triangle, by the turn of its corners. */
export function normalOf({ positions: p, triangles }: RaySurface, tri: number): [number, number, number] {
  const [a, b, c] = [0, 1, 2].map((k) => triangles[tri * 3 + k]! * 3) as [number, number, number];
  const edge = (to: number, k: number): number => p[to + k]! - p[a + k]!;
  const across = (i: number, j: number): number => edge(b, i) * edge(c, j) - edge(b, j) * edge(c, i);
  const normal = [across(1, 2), across(2, 0), across(0, 1)] as const;
  const length = Math.hypot(...normal) || 1;
  return [normal[0] / length, normal[1] / length, normal[2] / length];
}
