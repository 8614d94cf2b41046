// The flat places of a convex hull: what a body may stand on.
import type { Mesh, Vec3 } from '../mesh/mesh.ts';

export interface FlatPlace {
  /** Outward, unit: that of its largest face. */
  readonly normal: Vec3;
  readonly areaMm2: number;
}

/** Faces this near one another count as one place, as a cosine: 3 degrees. */
const ONE_PLACE = 0.9986;
/** Faces looked at, largest first. */
const MOST_FACES = 400;

/** Faces of a hull gathered within 3 degrees of the largest one left, largest place first. Cost: O(faces log faces + 400 x places).
 *  Weak: of a round hull the places are as many as fit beside each other, and what is told of each is its largest face. */
export function flatPlaces(hull: Mesh): FlatPlace[] {
  const { positions: p, triangles: t } = hull;
  const faces: { normal: Vec3; areaMm2: number }[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [t[i]! * 3, t[i + 1]! * 3, t[i + 2]! * 3];
    const u: Vec3 = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const v: Vec3 = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const length = Math.hypot(n[0], n[1], n[2]);
    if (length > 0) faces.push({ normal: [n[0] / length, n[1] / length, n[2] / length], areaMm2: length / 2 });
  }
  faces.sort((a, b) => b.areaMm2 - a.areaMm2);
  const gathered: { normal: Vec3; areaMm2: number }[] = [];
  for (const face of faces.slice(0, MOST_FACES)) {
    const [x, y, z] = face.normal;
    const home = gathered.find(({ normal }) => normal[0] * x + normal[1] * y + normal[2] * z > ONE_PLACE);
    if (home === undefined) gathered.push({ ...face });
    else home.areaMm2 += face.areaMm2;
  }
  return gathered.sort((a, b) => b.areaMm2 - a.areaMm2);
}
