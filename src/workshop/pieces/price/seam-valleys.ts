// Valleys of seam cost about a plane: tilts and offsets near it at which the seams that lie in it cost least on the shell.

import { type Plane, planeFrame } from '../../../geometry/plane.ts';
import { unit } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { bandOf, type GaugedPart, type PricedShell, priceCurve, seamLine } from './seam-gauge.ts';

export interface SettlingStep {
  /** Tilts about each of two directions in the plane, degrees, all combined. */
  readonly tiltsDeg: readonly number[];
  /** Offsets to either side, and from one to the next. */
  readonly reachMm: number;
  readonly stepMm: number;
  /** Triangles looked at. */
  readonly mostTris: number;
  /** Valleys given back. */
  readonly most: number;
}

/** Valleys a direction, and how much they have to differ. */
const A_DIRECTION = 2;

/** The cheapest valleys of the seams in which a plane cuts these parts, cheapest first; only such as cost less than the plane itself.
 *  turns: 'about x' keeps a plane square to the plane of symmetry so.
 *  Cost: tilts squared x triangles x 25 ns. Weak: between two tilts a narrower valley is missed. */
export function valleysNear(
  shell: PricedShell,
  parts: readonly GaugedPart[],
  plane: Plane,
  by: SettlingStep & { readonly turns: 'about x' | 'any' },
): Plane[] {
  const lines = parts.map((part) => seamLine(shell, part, plane));
  const length = lines.reduce((sum, line) => sum + line.lengthMm, 0);
  if (length === 0) return [];
  const pivot = [0, 1, 2].map((c) => lines.reduce((sum, l) => sum + l.lengthMm * l.middle[c]!, 0) / length);
  const now = lines.reduce((sum, line) => sum + line.costMm, 0);
  const mostDeg = Math.max(...by.tiltsDeg.map(Math.abs));
  // a tilted plane leaves the flat band at the ends of the seam: half its length at most from the middle
  const withinMm = by.reachMm + Math.sin((mostDeg * Math.PI) / 180) * Math.min(200, length / 3);
  const bands = parts.map((part) => bandOf(shell, part, plane, { withinMm, most: by.mostTris }));
  const found: { readonly plane: Plane; readonly costMm: number }[] = [];
  for (const normal of tiltedNormals(plane.normal, by)) {
    const middle = normal[0] * pivot[0]! + normal[1] * pivot[1]! + normal[2] * pivot[2]!;
    const num = 2 * Math.round(by.reachMm / by.stepMm) + 1;
    const firstMm = middle - by.reachMm;
    const curve = priceCurve(bands, normal, { firstMm, stepMm: by.stepMm, num });
    for (const k of lowestPlaces(curve, Math.max(2, 3 / by.stepMm)))
      found.push({ plane: { normal, offsetMm: firstMm + k * by.stepMm }, costMm: curve[k]! });
  }
  return found
    .filter((one) => one.costMm < now - 1)
    .sort((a, b) => a.costMm - b.costMm)
    .slice(0, by.most)
    .map((one) => one.plane);
}

function tiltedNormals(
  normal: Vec3,
  { tiltsDeg, turns }: { readonly tiltsDeg: readonly number[]; readonly turns: 'about x' | 'any' },
): Vec3[] {
  const slopes = tiltsDeg.map((deg) => Math.tan((deg * Math.PI) / 180));
  const [x, y, z] = normal;
  if (turns === 'about x') return slopes.map((slope) => unit([0, y - slope * z, z + slope * y]));
  const { u, v } = planeFrame(normal);
  return slopes.flatMap((a) =>
    slopes.map((b) => unit([x + a * u[0] + b * v[0], y + a * u[1] + b * v[1], z + a * u[2] + b * v[2]])),
  );
}

/** The lowest place of a curve, and the lowest that is not near it. */
function lowestPlaces(curve: Float64Array, apart: number): number[] {
  const out: number[] = [];
  while (out.length < A_DIRECTION) {
    let lowest = -1;
    for (let k = 0; k < curve.length; k++) {
      if (lowest >= 0 && curve[k]! >= curve[lowest]!) continue;
      if (out.every((known) => Math.abs(known - k) > apart)) lowest = k;
    }
    if (lowest < 0) break;
    out.push(lowest);
  }
  return out;
}
