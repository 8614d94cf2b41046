// The faces of a cut that leaves its plane: the triangles reach straight across the wall, so that the face is ruled through it.
import { incircle, orient2d } from 'robust-predicates';
import { NONE } from '../mesh/mesh.ts';
import type { Cap, CapPoints } from './plane-caps.ts';

/** The same caps with their triangles as near to Delaunay in the plane as their outlines allow, and with areas in space. Triangles
 *  of a flat face may run along the wall; on a bowed one they would bulge out of it.
 *  Cost: O(m) flips as a rule, m triangles. Method: Lawson 1977; docs/methods/bowed-seams.md. Nothing is added or moved. */
export function liftedCaps(caps: readonly Cap[], at: CapPoints): Cap[] {
  return caps.map((cap) => {
    const triangles = flippedAcross(cap.triangles, at.apart);
    return { ...cap, triangles, areaMm2: areaInSpace(triangles, at.points) };
  });
}

function areaInSpace(triangles: Uint32Array, points: Float64Array): number {
  let area = 0;
  for (let t = 0; t < triangles.length; t += 3) area += Math.hypot(...twiceArea(points, triangles, t)) / 2;
  return area;
}

function twiceArea(p: Float64Array, triangles: Uint32Array, t: number): [number, number, number] {
  const a = triangles[t]! * 3;
  const b = triangles[t + 1]! * 3;
  const c = triangles[t + 2]! * 3;
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

/** Flips edges inside the face until each is the better diagonal of its two triangles. */
function flippedAcross(given: Uint32Array, flat: Float64Array): Uint32Array {
  const tris = given.slice();
  const twins = twinsWithin(tris);
  const open: number[] = [];
  for (let h = 0; h < tris.length; h++) if (twins[h]! > h) open.push(h);
  let left = FLIPS_EACH * tris.length;
  while (open.length > 0 && left-- > 0) {
    const h = open.pop()!;
    if (twins[h] === NONE || !isWorse(tris, flat, h, twins[h]!)) continue;
    for (const next of flip(tris, twins, h)) open.push(next);
  }
  return tris;
}

/** Lawson's flips end by themselves; rounding in a predicate is excluded too. This only bounds what nobody foresaw. */
const FLIPS_EACH = 50;

/** Half-edge twins by hashed vertex pairs; an edge of the outline, or one used more than twice, has none. */
function twinsWithin(tris: Uint32Array): Int32Array {
  const twins = new Int32Array(tris.length).fill(NONE);
  const seen = new Map<number, number>();
  for (let h = 0; h < tris.length; h++) {
    const a = tris[h]!;
    const b = tris[after(h)]!;
    const mate = seen.get(b * PAIR + a);
    if (mate !== undefined && twins[mate] === NONE) {
      twins[h] = mate;
      twins[mate] = h;
    }
    seen.set(a * PAIR + b, h);
  }
  return twins;
}

const PAIR = 67108864;

const after = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);
const before = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);

/** Whether the far corner across h lies within the circle of h's triangle, and the two make a convex quadrilateral. */
function isWorse(tris: Uint32Array, p: Float64Array, h: number, twin: number): boolean {
  const a = tris[h]! * 2;
  const b = tris[after(h)]! * 2;
  const c = tris[before(h)]! * 2;
  const d = tris[before(twin)]! * 2;
  const [ax, ay, bx, by] = [p[a]!, p[a + 1]!, p[b]!, p[b + 1]!];
  const [cx, cy, dx, dy] = [p[c]!, p[c + 1]!, p[d]!, p[d + 1]!];
  // the package counts clockwise turns as positive
  if (orient2d(ax, ay, dx, dy, cx, cy) >= 0 || orient2d(dx, dy, bx, by, cx, cy) >= 0) return false;
  // a triangle without area is given one by any flip that can be made
  if (orient2d(ax, ay, bx, by, cx, cy) >= 0 || orient2d(ax, ay, dx, dy, bx, by) >= 0) return true;
  return incircle(ax, ay, bx, by, cx, cy, dx, dy) > 0;
}

/** Replaces the diagonal a-b of the two triangles by c-d; returns the four sides around, which may be worth a flip now. */
function flip(tris: Uint32Array, twins: Int32Array, h: number): number[] {
  const twin = twins[h]!;
  const c = tris[before(h)]!;
  const d = tris[before(twin)]!;
  const [bc, ca] = [after(h), before(h)];
  const [ad, db] = [after(twin), before(twin)];
  const outsideBc = twins[bc]!;
  const outsideAd = twins[ad]!;
  // triangle of h becomes a-d-c, that of the twin b-c-d: each keeps the place of one old side
  tris[after(h)] = d;
  tris[after(twin)] = c;
  link(twins, h, outsideAd);
  link(twins, twin, outsideBc);
  link(twins, bc, ad);
  return [h, twin, ca, db].filter((side) => twins[side] !== NONE);
}

function link(twins: Int32Array, one: number, other: number): void {
  twins[one] = other;
  if (other !== NONE) twins[other] = one;
}
