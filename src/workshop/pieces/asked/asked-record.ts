// What was asked, found again in what came out: which seams and pieces are the maker's own.
import type { Plane } from '../../../geometry/plane.ts';
import { cross, dot, minus, plus, scaled, unit } from '../../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import type { Piece } from '../../process/pieces-record.ts';
import type { CutPart, MadeCut } from '../cut/exact-division.ts';
import type { AskedAtSize, WornMachine, WornSeam } from './asked-at-size.ts';

/** A cut is moved away from vertices by less than this. */
const SAME_MM = 0.5;
const SAME_COS = 1 - 1e-9;

/** The seam asked for that lies in this plane, by its place in the build file, or null. A seam that was found and then laid into a plane
 *  that is held continues it. */
export function askedSeamOf(plane: Plane, seams: readonly WornSeam[]): number | null {
  return seams.find((seam) => isSamePlane(plane, seam.plane))?.index ?? null;
}

function isSamePlane(a: Plane, b: Plane): boolean {
  const cos = dot(a.normal, b.normal);
  return Math.abs(cos) > SAME_COS && Math.abs(a.offsetMm - Math.sign(cos) * b.offsetMm) < SAME_MM;
}

/** The machines asked for in a part: their place is on a triangle of the part, and on the side of every cut on which the part lies. */
export function machinesIn(
  { part, path }: CutPart,
  cuts: readonly MadeCut[],
  machines: AskedAtSize['machines'],
): readonly WornMachine[] {
  if (machines.length === 0) return [];
  const tris = new Set(part.sourceTri);
  return machines.filter(
    ({ atMm, tri }) =>
      tris.has(tri) &&
      path.every(({ cut, side }) => {
        const { normal, offsetMm } = cuts[cut]!.plane;
        return (dot(normal, atMm) < offsetMm ? 0 : 1) === side;
      }),
  );
}

/** A place in the middle of the outside of a part: the middle of the outer triangle nearest to the middle of them all; of any triangle
 *  where the part has no outside. Cost: O(n). */
export function markOf(mesh: Mesh, sourceTri: Int32Array, isOuter: Uint8Array): Piece['mark'] {
  const outer: number[] = [];
  sourceTri.forEach((source, tri) => {
    if (source >= 0 && isOuter[source] === 1) outer.push(tri);
  });
  const tris = outer.length > 0 ? outer : [...sourceTri.keys()];
  let total = 0;
  let sum: Vec3 = [0, 0, 0];
  for (const tri of tris) {
    const { middle, twiceArea } = triangleAt(mesh, tri);
    const size = Math.hypot(...twiceArea);
    total += size;
    sum = plus(sum, scaled(middle, size));
  }
  const aim = scaled(sum, 1 / (total || 1));
  let nearest = Infinity;
  let mark: Piece['mark'] = { atMm: aim, normal: [0, 0, 1] };
  for (const tri of tris) {
    const { middle, twiceArea } = triangleAt(mesh, tri);
    const away = Math.hypot(...minus(middle, aim));
    if (away >= nearest) continue;
    nearest = away;
    mark = { atMm: middle, normal: unit(twiceArea) };
  }
  return mark;
}

function triangleAt({ positions: p, triangles: t }: Mesh, tri: number): { middle: Vec3; twiceArea: Vec3 } {
  const corner = (c: number): Vec3 => {
    const at = t[tri * 3 + c]! * 3;
    return [p[at]!, p[at + 1]!, p[at + 2]!];
  };
  const [a, b, c] = [corner(0), corner(1), corner(2)];
  return { middle: scaled(plus(plus(a, b), c), 1 / 3), twiceArea: cross(minus(b, a), minus(c, a)) };
}
