// A triangulated region of a plane whose outline stays: edges inside are flipped until none is worse than its other diagonal, and points
// are added one by one.
import { incircle, orient2d } from 'robust-predicates';
import { NONE } from '../mesh/mesh.ts';

/** tris: 3 corners each, counter-clockwise. twins: per side, from its corner to the next, the same side the other way; NONE on the
 *  outline. flat: 2 numbers a point. All grow as points are added. */
export interface FlatFill {
  readonly tris: number[];
  readonly twins: number[];
  readonly flat: number[];
}

/** Cost: O(m), sides matched by hashed corners. */
export function fillOf(triangles: Uint32Array, flat: Float64Array): FlatFill {
  const tris = [...triangles];
  const twins = new Array<number>(tris.length).fill(NONE);
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
  return { tris, twins, flat: [...flat] };
}

const PAIR = 67108864;

const after = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);
const before = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);

/** Flips sides until each is the better diagonal of its two triangles (Lawson). Cost: O(m) flips as a rule. */
export function settleFlips(fill: FlatFill): void {
  const open: number[] = [];
  for (let h = 0; h < fill.tris.length; h++) if (fill.twins[h]! > h) open.push(h);
  settle(fill, open);
}

function settle(fill: FlatFill, open: number[]): void {
  let left = FLIPS_EACH * fill.tris.length;
  while (open.length > 0 && left-- > 0) {
    const h = open.pop()!;
    if (fill.twins[h] === NONE || !isWorse(fill, h)) continue;
    for (const next of flip(fill, h)) open.push(next);
  }
}

/** Lawson's flips end by themselves, and the signs are exact. This only bounds what nobody foresaw. */
const FLIPS_EACH = 50;

/** Adds a point that lies strictly inside a triangle; one on a side or outside is left out. Cost: O(triangles) to find it. */
export function insertPoint(fill: FlatFill, x: number, y: number): void {
  const { tris, twins, flat } = fill;
  const tri = triangleAt(fill, x, y);
  if (tri === NONE) return;
  const p = flat.push(x, y) / 2 - 1;
  const [a, b, c] = [tris[tri]!, tris[tri + 1]!, tris[tri + 2]!];
  const outside = [twins[tri]!, twins[tri + 1]!, twins[tri + 2]!] as const;
  // a-b-p keeps the place of the triangle, then b-c-p and c-a-p
  const second = tris.length;
  const third = second + 3;
  tris[tri + 2] = p;
  tris.push(b, c, p, c, a, p);
  twins.push(NONE, NONE, NONE, NONE, NONE, NONE);
  link(twins, tri, outside[0]);
  link(twins, second, outside[1]);
  link(twins, third, outside[2]);
  link(twins, tri + 1, second + 2);
  link(twins, second + 1, third + 2);
  link(twins, third + 1, tri + 2);
  settle(fill, [tri, second, third]);
}

function triangleAt({ tris, flat }: FlatFill, x: number, y: number): number {
  for (let t = 0; t < tris.length; t += 3) {
    const [a, b, c] = [tris[t]! * 2, tris[t + 1]! * 2, tris[t + 2]! * 2];
    if (orient2d(flat[a]!, flat[a + 1]!, flat[b]!, flat[b + 1]!, x, y) >= 0) continue;
    if (orient2d(flat[b]!, flat[b + 1]!, flat[c]!, flat[c + 1]!, x, y) >= 0) continue;
    if (orient2d(flat[c]!, flat[c + 1]!, flat[a]!, flat[a + 1]!, x, y) >= 0) continue;
    return t;
  }
  return NONE;
}

/** Whether the far corner across a side lies within the circle of its triangle, and the two make a convex quadrilateral. */
function isWorse({ tris, twins, flat: p }: FlatFill, h: number): boolean {
  const a = tris[h]! * 2;
  const b = tris[after(h)]! * 2;
  const c = tris[before(h)]! * 2;
  const d = tris[before(twins[h]!)]! * 2;
  const [ax, ay, bx, by] = [p[a]!, p[a + 1]!, p[b]!, p[b + 1]!];
  const [cx, cy, dx, dy] = [p[c]!, p[c + 1]!, p[d]!, p[d + 1]!];
  // the package counts clockwise turns as positive
  if (orient2d(ax, ay, dx, dy, cx, cy) >= 0 || orient2d(dx, dy, bx, by, cx, cy) >= 0) return false;
  // a triangle without area is given one by any flip that can be made
  if (orient2d(ax, ay, bx, by, cx, cy) >= 0 || orient2d(ax, ay, dx, dy, bx, by) >= 0) return true;
  return incircle(ax, ay, bx, by, cx, cy, dx, dy) > 0;
}

/** Replaces the diagonal a-b of the two triangles by c-d; returns the sides around that may be worth a flip now. */
function flip({ tris, twins }: FlatFill, h: number): number[] {
  const twin = twins[h]!;
  const c = tris[before(h)]!;
  const d = tris[before(twin)]!;
  const [bc, ca] = [after(h), before(h)];
  const [ad, db] = [after(twin), before(twin)];
  const outsideBc = twins[bc]!;
  const outsideAd = twins[ad]!;
  // the triangle of h becomes a-d-c, that of its twin b-c-d: each keeps the place of one old side
  tris[after(h)] = d;
  tris[after(twin)] = c;
  link(twins, h, outsideAd);
  link(twins, twin, outsideBc);
  link(twins, bc, ad);
  return [h, twin, ca, db].filter((side) => twins[side] !== NONE);
}

function link(twins: number[], one: number, other: number): void {
  twins[one] = other;
  if (other !== NONE) twins[other] = one;
}
