// For a body without a hollow: the ways it could stand on a table, the likeliest first.
import type { SolidKernel } from '../../geometry/solid/solid.ts';
import { spiralDirections } from '../../geometry/sphere-directions.ts';
import { angleDeg, cross, dot, minus, scaled, unit } from '../../geometry/three-by-three.ts';
import { centreOfMass, surfaceArea } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';

/** Up directions, unit, best first. A stable face of the hull (one above which the centre of mass lies) is rated by its share of
 *  the hull's area; a little is added for an axis of the file (most for +z), as files are mostly drawn upright, and for lying in
 *  the mirror plane, whose normal is handed in. Never sure: the best is right for about nine in ten everyday things at most.
 *  Cost: extremes along 2,000 directions and one hull. Source: stable faces, Fu et al. 2008; docs/methods/levelling.md. */
export function standingWays(mesh: Mesh, solid: SolidKernel, mirrorNormal: Vec3 | null): readonly Vec3[] {
  const hull = solid.hull(extremes(mesh));
  if (hull.triangles.length === 0) return [[0, 0, 1]];
  const ways = stableFaces(hull, centreOfMass(mesh));
  const total = surfaceArea(hull);
  const rated = ways.map(({ up, areaMm2 }) => ({
    up,
    rate:
      areaMm2 / total + fileAxisBonus(up) + (mirrorNormal === null || Math.abs(dot(up, mirrorNormal)) < 0.1 ? 0.2 : 0),
  }));
  rated.sort((a, b) => b.rate - a.rate);
  return rated.map((each) => each.up);
}

/** The farthest vertices along even directions: their hull is the hull to within a thousandth of the size. */
function extremes(mesh: Mesh): Float64Array {
  const directions = spiralDirections(2000);
  const p = mesh.positions;
  const stride = Math.max(1, Math.ceil(p.length / 3 / 20000));
  const kept = new Set<number>();
  for (let d = 0; d < directions.length; d += 3) {
    let far = -Infinity;
    let vert = 0;
    for (let i = 0; i < p.length; i += 3 * stride) {
      const along = p[i]! * directions[d]! + p[i + 1]! * directions[d + 1]! + p[i + 2]! * directions[d + 2]!;
      if (along > far) {
        far = along;
        vert = i;
      }
    }
    kept.add(vert);
  }
  return Float64Array.from([...kept].flatMap((i) => [p[i]!, p[i + 1]!, p[i + 2]!]));
}

/** Hull triangles within 3 degrees of each other are one face; it is stable when the centre of mass lies above one of them. */
function stableFaces(hull: Mesh, mass: Vec3): { up: Vec3; areaMm2: number }[] {
  const faces: { up: Vec3; areaMm2: number; stable: boolean }[] = [];
  for (let t = 0; t < hull.triangles.length; t += 3) {
    const [a, b, c] = [corner(hull, t), corner(hull, t + 1), corner(hull, t + 2)];
    const across = cross(minus(b, a), minus(c, a));
    const areaMm2 = Math.hypot(...across) / 2;
    if (!(areaMm2 > 0)) continue;
    const up = scaled(unit(across), -1);
    const stable = isAbove(mass, [a, b, c], up);
    const same = faces.find((face) => angleDeg(face.up, up) < 3);
    if (same === undefined) faces.push({ up, areaMm2, stable });
    else Object.assign(same, { areaMm2: same.areaMm2 + areaMm2, stable: same.stable || stable });
  }
  return faces.filter((face) => face.stable);
}

function corner(mesh: Mesh, at: number): Vec3 {
  const v = mesh.triangles[at]! * 3;
  return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
}

function isAbove(p: Vec3, [a, b, c]: readonly [Vec3, Vec3, Vec3], up: Vec3): boolean {
  const down = scaled(up, -1);
  const inside = (from: Vec3, to: Vec3): boolean => dot(cross(minus(to, from), minus(p, from)), down) >= 0;
  return inside(a, b) && inside(b, c) && inside(c, a);
}

function fileAxisBonus(up: Vec3): number {
  const most = Math.max(Math.abs(up[0]), Math.abs(up[1]), Math.abs(up[2]));
  if (most < 0.999) return 0;
  if (up[2] > 0.999) return 0.3;
  return up[1] > 0.999 ? 0.2 : 0.1;
}
