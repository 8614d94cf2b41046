// The planes in which a shell's own long folds lie: under a brim, along a cord, in a groove. A seam there hides, and no even set of
// directions meets it by chance.

import { randomStream } from '../../../base/random.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { unit } from '../../../geometry/three-by-three.ts';
import { areaNormals } from '../../../mesh/measure.ts';
import { type Mesh, numTris, type Vec3 } from '../../../mesh/mesh.ts';
import type { PricedShell } from '../price/seam-gauge.ts';
import type { SeamPrice } from '../price/seam-price.ts';
import { mirroredPlane } from './cut-costs.ts';

export interface FoldPlaneOptions {
  /** Planes given back, mirror images not counted. */
  readonly most: number;
  /** A fold within this distance of a plane counts to it, mm. */
  readonly nearMm: number;
  /** What a plane must save at least, mm of seam in full view. */
  readonly leastMm: number;
  /** Planes tried of each kind. */
  readonly tries: number;
}

export const FOLD_PLANE_DEFAULTS: FoldPlaneOptions = { most: 16, nearMm: 2, leastMm: 60, tries: 500 };

/** Planes along folds of the outside, those that save most first; on a mirrored shell (symmetry plane x = mirrorX) planes square to it
 *  are tried by themselves, and every other one comes with its mirror image.
 *  Method: random sample consensus (Fischler, Bolles 1981) on points of folds, each weighed by the length of seam it would hide; the
 *  inliers of the best plane are fitted by least squares and taken out, and so on. Same shell, same planes.
 *  Cost: planes x tries x points x 2, 2,000 points at most: about 0.1 s. docs/methods/fold-planes.md. */
export function foldPlanes(
  { mesh }: Pick<PricedShell, 'mesh'>,
  price: SeamPrice,
  mirrorX: number | null,
  options: FoldPlaneOptions = FOLD_PLANE_DEFAULTS,
): Plane[] {
  const folds = foldPoints(mesh, price);
  if (folds.num < 3) return [];
  const random = randomStream(SEED);
  const draw = drawBySaving(folds, random);
  const out: Plane[] = [];
  for (let found = 0; found < options.most; found++) {
    const best = bestPlane(folds, draw, mirrorX, options);
    if (best === null || best.savingMm < options.leastMm) break;
    out.push(best.plane);
    const image = mirrorX === null ? null : mirroredPlane(best.plane, mirrorX);
    if (image !== null && Math.abs(best.plane.normal[0]) > SQUARE) out.push(image);
    takeOut(folds, best.plane, options.nearMm);
    if (image !== null) takeOut(folds, image, options.nearMm);
  }
  return out;
}

const SEED = 1;
const SQUARE = 1e-9;
/** Cells in which fold triangles are gathered, mm. */
const CELL_MM = 5;
const MOST_POINTS = 2000;
/** Shallower folds save little and are many. */
const LEAST_CREASE = 0.3;
/** A fold's depth is spread over about so much of the surface across it: area over width is length, mm. */
const FOLD_WIDTH_MM = 4;

interface FoldPoints {
  readonly num: number;
  /** num x 3. */
  readonly points: Float64Array;
  /** Length of seam in full view that a seam through the point would save, mm; 0 once it belongs to a plane. */
  readonly savingMm: Float64Array;
}

function foldPoints(mesh: Mesh, { isOuter, seen, crease }: SeamPrice): FoldPoints {
  const { positions: p, triangles: t } = mesh;
  const normals = areaNormals(mesh);
  const cells = new Map<number, [number, number, number, number]>();
  for (let tri = 0; tri < numTris(mesh); tri++) {
    if (isOuter[tri] === 0 || crease[tri]! < LEAST_CREASE) continue;
    const area = Math.hypot(normals[tri * 3]!, normals[tri * 3 + 1]!, normals[tri * 3 + 2]!) / 2;
    const saving = (area / FOLD_WIDTH_MM) * seen[tri]! * crease[tri]!;
    if (saving <= 0) continue;
    const a = t[tri * 3]! * 3;
    const b = t[tri * 3 + 1]! * 3;
    const c = t[tri * 3 + 2]! * 3;
    const x = (p[a]! + p[b]! + p[c]!) / 3;
    const y = (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3;
    const z = (p[a + 2]! + p[b + 2]! + p[c + 2]!) / 3;
    const key = cellKey(x, y, z);
    let cell = cells.get(key);
    if (cell === undefined) {
      cell = [0, 0, 0, 0];
      cells.set(key, cell);
    }
    cell[0] += saving * x;
    cell[1] += saving * y;
    cell[2] += saving * z;
    cell[3] += saving;
  }
  const kept = [...cells.values()].sort((a, b) => b[3] - a[3]).slice(0, MOST_POINTS);
  const points = new Float64Array(kept.length * 3);
  kept.forEach((cell, i) => {
    for (let c = 0; c < 3; c++) points[i * 3 + c] = cell[c]! / cell[3];
  });
  return { num: kept.length, points, savingMm: Float64Array.from(kept, (cell) => cell[3]) };
}

/** One number for each cell of a model up to 80 m wide. */
function cellKey(x: number, y: number, z: number): number {
  const [i, j, k] = [Math.floor(x / CELL_MM), Math.floor(y / CELL_MM), Math.floor(z / CELL_MM)];
  return (i + HALF_CELLS + CELLS * (j + HALF_CELLS)) * CELLS + k + HALF_CELLS;
}

const HALF_CELLS = 1 << 14;
const CELLS = 2 * HALF_CELLS;

/** Points drawn as often as they save. */
function drawBySaving({ num, savingMm }: FoldPoints, random: () => number): () => number {
  const upTo = new Float64Array(num);
  let sum = 0;
  for (let i = 0; i < num; i++) upTo[i] = sum += savingMm[i]!;
  return () => {
    const at = random() * sum;
    let [low, high] = [0, num - 1];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (upTo[middle]! < at) low = middle + 1;
      else high = middle;
    }
    return low;
  };
}

interface Found {
  readonly plane: Plane;
  readonly savingMm: number;
}

function bestPlane(
  folds: FoldPoints,
  draw: () => number,
  mirrorX: number | null,
  options: FoldPlaneOptions,
): Found | null {
  let best: Found | null = null;
  const isSquareTried = mirrorX !== null;
  for (let turn = 0; turn < options.tries * (isSquareTried ? 2 : 1); turn++) {
    const isSquare = isSquareTried && turn % 2 === 0;
    const plane = isSquare ? squarePlane(folds, draw(), draw()) : planeThrough(folds, draw(), draw(), draw());
    if (plane === null) continue;
    const savingMm = savingOf(folds, plane, options.nearMm);
    if (best === null || savingMm > best.savingMm) best = { plane, savingMm };
  }
  if (best === null) return null;
  for (let turn = 0; turn < 3; turn++) {
    const plane: Plane | null = fitted(folds, best.plane, options.nearMm);
    if (plane === null) break;
    const savingMm = savingOf(folds, plane, options.nearMm);
    if (savingMm <= best.savingMm) break;
    best = { plane, savingMm };
  }
  return best;
}

/** Points nearer to one another than this say little about a plane. */
const LEAST_APART_MM = 25;

function squarePlane({ points: p }: FoldPoints, a: number, b: number): Plane | null {
  const y = p[b * 3 + 1]! - p[a * 3 + 1]!;
  const z = p[b * 3 + 2]! - p[a * 3 + 2]!;
  const length = Math.hypot(y, z);
  if (length < LEAST_APART_MM) return null;
  const sign = y < 0 ? -1 : 1;
  const normal: Vec3 = [0, (-z / length) * sign, (y / length) * sign];
  return { normal, offsetMm: normal[1] * p[a * 3 + 1]! + normal[2] * p[a * 3 + 2]! };
}

function planeThrough({ points: p }: FoldPoints, a: number, b: number, c: number): Plane | null {
  const u = [0, 1, 2].map((k) => p[b * 3 + k]! - p[a * 3 + k]!);
  const v = [0, 1, 2].map((k) => p[c * 3 + k]! - p[a * 3 + k]!);
  const x = u[1]! * v[2]! - u[2]! * v[1]!;
  const y = u[2]! * v[0]! - u[0]! * v[2]!;
  const z = u[0]! * v[1]! - u[1]! * v[0]!;
  const length = Math.hypot(x, y, z);
  if (length < LEAST_APART_MM * LEAST_APART_MM) return null;
  const normal: Vec3 = [x / length, y / length, z / length];
  return { normal, offsetMm: normal[0] * p[a * 3]! + normal[1] * p[a * 3 + 1]! + normal[2] * p[a * 3 + 2]! };
}

/** A fold off the plane counts less the farther it is. */
function savingOf(
  { num, points: p, savingMm }: FoldPoints,
  { normal: [x, y, z], offsetMm }: Plane,
  nearMm: number,
): number {
  let sum = 0;
  for (let i = 0; i < num; i++) {
    const away = Math.abs(p[i * 3]! * x + p[i * 3 + 1]! * y + p[i * 3 + 2]! * z - offsetMm);
    if (away < nearMm) sum += savingMm[i]! * (1 - (away / nearMm) ** 2);
  }
  return sum;
}

/** The plane nearest to its own inliers; one square to x stays so: one step of weighted linear least squares of the
 *  height over the plane, which moves little. */
function fitted({ num, points: p, savingMm }: FoldPoints, plane: Plane, nearMm: number): Plane | null {
  const { normal: n, offsetMm } = plane;
  const isSquare = Math.abs(n[0]) <= SQUARE;
  const u: Vec3 = isSquare ? [0, -n[2], n[1]] : unit(Math.abs(n[2]) > 0.9 ? [0, n[2], -n[1]] : [n[1], -n[0], 0]);
  const v: Vec3 = [n[1] * u[2] - n[2] * u[1], n[2] * u[0] - n[0] * u[2], n[0] * u[1] - n[1] * u[0]];
  // sums of 1, a, b, aa, ab, bb, h, ha, hb
  const s = new Float64Array(9);
  for (let i = 0; i < num; i++) {
    const [x, y, z] = [p[i * 3]!, p[i * 3 + 1]!, p[i * 3 + 2]!];
    const h = x * n[0] + y * n[1] + z * n[2] - offsetMm;
    const w = Math.abs(h) < nearMm ? savingMm[i]! : 0;
    if (w === 0) continue;
    const a = x * u[0] + y * u[1] + z * u[2];
    const b = isSquare ? 0 : x * v[0] + y * v[1] + z * v[2];
    for (const [k, value] of [1, a, b, a * a, a * b, b * b, h, h * a, h * b].entries()) s[k]! += w * value;
  }
  const w = s[0]!;
  if (w === 0) return null;
  const [ma, mb, mh] = [s[1]! / w, s[2]! / w, s[6]! / w];
  const aa = s[3]! / w - ma * ma;
  const ab = s[4]! / w - ma * mb;
  const bb = s[5]! / w - mb * mb;
  const ha = s[7]! / w - mh * ma;
  const hb = s[8]! / w - mh * mb;
  const spread = isSquare ? aa : aa * bb - ab * ab;
  if (spread <= 1) return null;
  const slopeA = isSquare ? ha / aa : (ha * bb - hb * ab) / spread;
  const slopeB = isSquare ? 0 : (hb * aa - ha * ab) / spread;
  const normal = unit([0, 1, 2].map((k) => n[k]! - slopeA * u[k]! - slopeB * v[k]!) as unknown as Vec3);
  const at = [0, 1, 2].map((k) => ma * u[k]! + mb * v[k]! + (offsetMm + mh) * n[k]!);
  return { normal, offsetMm: at[0]! * normal[0] + at[1]! * normal[1] + at[2]! * normal[2] };
}

function takeOut(
  { num, points: p, savingMm }: FoldPoints,
  { normal: [x, y, z], offsetMm }: Plane,
  nearMm: number,
): void {
  for (let i = 0; i < num; i++) {
    if (Math.abs(p[i * 3]! * x + p[i * 3 + 1]! * y + p[i * 3 + 2]! * z - offsetMm) < nearMm) savingMm[i] = 0;
  }
}
