// Triangles across a polygon in space, without new vertices: those that bend least against each other and against the rim.
import { NONE } from '../../../mesh/mesh.ts';

/** A hole's rim. */
export interface RimPolygon {
  /** numCorners x 3, in the order in which the faces beyond the rim run along it. */
  readonly points: Float64Array;
  /** numCorners x 3: third corner of the face beyond the side that starts at each corner. */
  readonly beyond: Float64Array;
  /** numCorners x numCorners: 1 where the surface joins two corners already, so that no triangle side may lie there. */
  readonly isJoined: Uint8Array;
}

/** Corner numbers, 3 per triangle, turned so that the patch runs against the faces beyond the rim; null where the joined corners leave
 *  no way. Minimises the sum over all sides of length times the root of the
 *  bend, and area as a share of the rim's length.
 *  Cost: O(corners^3), 0.2 s at 200; above `mostExact` corners the polygon is first halved along short chords.
 *  Method: dynamic programming (Barequet and Sharir 1995; the bend of neighbours after Liepa 2003); docs/methods/hole-filling.md. */
export function triangulateRim(rim: RimPolygon, mostExact: number): Uint32Array | null {
  const out: number[] = [];
  const parts: number[][] = [Array.from({ length: rim.points.length / 3 }, (_, i) => i)];
  while (parts.length > 0) {
    const part = parts.pop()!;
    if (part.length > mostExact) {
      const halves = halve(rim, part);
      if (halves !== null) {
        parts.push(...halves);
        continue;
      }
    }
    if (part.length > 3 * mostExact || !fillPart(rim, part, out)) return null;
  }
  return Uint32Array.from(out);
}

/** A bend beyond this is a fold: the patch would lie on the face next to it. */
const FOLD = (150 / 180) * Math.PI;
/** What a fold costs beyond its bend. */
const FOLD_COST = 20;

function fillPart(rim: RimPolygon, part: readonly number[], out: number[]): boolean {
  const k = part.length;
  if (k === 3) {
    out.push(part[0]!, part[2]!, part[1]!);
    return true;
  }
  const table = tableFor(rim, part);
  for (let span = 2; span < k; span++) for (let i = 0; i + span < k; i++) bestBetween(table, i, i + span);
  if (!Number.isFinite(table.cost[k - 1]!)) return false;
  const stack = [0, k - 1];
  while (stack.length > 0) {
    const j = stack.pop()!;
    const i = stack.pop()!;
    if (j - i < 2) continue;
    const m = table.via[i * k + j]!;
    out.push(part[i]!, part[j]!, part[m]!);
    stack.push(i, m, m, j);
  }
  return true;
}

interface Table {
  readonly k: number;
  readonly points: Float64Array;
  /** k x 3: normals of the faces beyond the sides, unit; zero where there is none (a chord). */
  readonly outside: Float64Array;
  readonly isBarred: Uint8Array;
  readonly cost: Float64Array;
  readonly via: Int16Array;
  /** k x k x 3: unit normal of the triangle chosen on each chord. */
  readonly normals: Float64Array;
  readonly areaCost: number;
}

function tableFor(rim: RimPolygon, part: readonly number[]): Table {
  const k = part.length;
  const n = rim.points.length / 3;
  const points = new Float64Array(3 * k);
  const outside = new Float64Array(3 * k);
  const isBarred = new Uint8Array(k * k);
  let length = 0;
  for (let i = 0; i < k; i++) for (let c = 0; c < 3; c++) points[3 * i + c] = rim.points[3 * part[i]! + c]!;
  for (let i = 0; i < k; i++) {
    const next = (i + 1) % k;
    length += distance(points, i, next);
    if (part[next] === (part[i]! + 1) % n) outsideNormal(rim, part[i]!, outside, 3 * i);
    for (let j = i + 2; j < k; j++) isBarred[i * k + j] = rim.isJoined[part[i]! * n + part[j]!]!;
  }
  isBarred[k - 1] = 0;
  const cost = new Float64Array(k * k).fill(Infinity);
  for (let i = 0; i + 1 < k; i++) cost[i * k + i + 1] = 0;
  const normals = new Float64Array(3 * k * k);
  return {
    k,
    points,
    outside,
    isBarred,
    cost,
    via: new Int16Array(k * k),
    normals,
    areaCost: length > 0 ? 4 / length : 0,
  };
}

/** Unit normal of the face beyond side i of the rim. */
function outsideNormal({ points: p, beyond }: RimPolygon, i: number, out: Float64Array, at: number): void {
  const a = 3 * i;
  const b = a + 3 < p.length ? a + 3 : 0;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = beyond[a]! - p[a]!;
  const vy = beyond[a + 1]! - p[a + 1]!;
  const vz = beyond[a + 2]! - p[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  const length = Math.sqrt(x * x + y * y + z * z);
  if (length === 0) return;
  out[at] = x / length;
  out[at + 1] = y / length;
  out[at + 2] = z / length;
}

/** Chooses the triangle (i j m) on the chord from i to j. A hot loop: everything in place. */
function bestBetween(table: Table, i: number, j: number): void {
  const { k, points: p, cost, via, normals, isBarred } = table;
  if (isBarred[i * k + j] === 1) return;
  const ix = p[3 * i]!;
  const iy = p[3 * i + 1]!;
  const iz = p[3 * i + 2]!;
  const jx = p[3 * j]! - ix;
  const jy = p[3 * j + 1]! - iy;
  const jz = p[3 * j + 2]! - iz;
  const isWhole = i === 0 && j === k - 1;
  const chord = Math.sqrt(jx * jx + jy * jy + jz * jz);
  let best = Infinity;
  for (let m = i + 1; m < j; m++) {
    const below = cost[i * k + m]! + cost[m * k + j]!;
    if (!(below < best)) continue;
    const mx = p[3 * m]! - ix;
    const my = p[3 * m + 1]! - iy;
    const mz = p[3 * m + 2]! - iz;
    let nx = jy * mz - jz * my;
    let ny = jz * mx - jx * mz;
    let nz = jx * my - jy * mx;
    const twiceArea = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (twiceArea > 0) {
      nx /= twiceArea;
      ny /= twiceArea;
      nz /= twiceArea;
    }
    let total = below + 0.5 * twiceArea * table.areaCost;
    total += Math.sqrt(mx * mx + my * my + mz * mz) * bendAt(table, i, m, nx, ny, nz);
    const side = Math.sqrt((mx - jx) ** 2 + (my - jy) ** 2 + (mz - jz) ** 2);
    total += side * bendAt(table, m, j, nx, ny, nz);
    if (isWhole) total += chord * bendOf(table.outside, 3 * j, nx, ny, nz);
    if (total < best) {
      best = total;
      via[i * k + j] = m;
      const at = 3 * (i * k + j);
      normals[at] = nx;
      normals[at + 1] = ny;
      normals[at + 2] = nz;
    }
  }
  cost[i * k + j] = best;
}

function bendAt({ k, outside, normals }: Table, i: number, m: number, nx: number, ny: number, nz: number): number {
  return m === i + 1 ? bendOf(outside, 3 * i, nx, ny, nz) : bendOf(normals, 3 * (i * k + m), nx, ny, nz);
}

/** Root of the angle between the normal at `at` and (nx ny nz), with the price of folding; 0 where there is no face. The root gathers
 *  bends in few creases, as models have them. */
function bendOf(normals: Float64Array, at: number, nx: number, ny: number, nz: number): number {
  const dot = normals[at]! * nx + normals[at + 1]! * ny + normals[at + 2]! * nz;
  if (dot === 0 && normals[at] === 0 && normals[at + 1] === 0 && normals[at + 2] === 0) return 0;
  const angle = Math.acos(dot > 1 ? 1 : dot < -1 ? -1 : dot);
  const bend = Math.sqrt(angle);
  return angle > FOLD ? bend + FOLD_COST : bend;
}

/** Two shorter polygons along the chord that is shortest against the way round. */
function halve(rim: RimPolygon, part: readonly number[]): readonly [number[], number[]] | null {
  const k = part.length;
  const n = rim.points.length / 3;
  const least = Math.trunc(k / 4);
  const along = new Float64Array(k + 1);
  for (let i = 0; i < k; i++) along[i + 1] = along[i]! + distance(rim.points, part[i]!, part[(i + 1) % k]!);
  let best = Infinity;
  let from = NONE;
  let to = NONE;
  for (let i = 0; i < k; i++) {
    for (let j = i + least; j < k && j - i <= k - least; j++) {
      if (rim.isJoined[part[i]! * n + part[j]!] === 1) continue;
      const way = along[j]! - along[i]!;
      const share = distance(rim.points, part[i]!, part[j]!) / Math.min(way, along[k]! - way);
      if (share >= best) continue;
      best = share;
      from = i;
      to = j;
    }
  }
  if (from === NONE) return null;
  return [part.slice(from, to + 1), [...part.slice(to), ...part.slice(0, from + 1)]];
}

function distance(p: Float64Array, i: number, j: number): number {
  return Math.hypot(p[3 * i]! - p[3 * j]!, p[3 * i + 1]! - p[3 * j + 1]!, p[3 * i + 2]! - p[3 * j + 2]!);
}
