// Finds the plane that mirrors a surface onto itself: a helmet's left to its right.
import type { Work } from '../base/work.ts';
import type { BoundingTree } from '../mesh/bounding-tree.ts';
import { closestPoints } from '../mesh/closest-point.ts';
import { type Mesh, NONE, type Vec3 } from '../mesh/mesh.ts';
import { evenDirections } from './half-sphere-directions.ts';
import { cellIndex, type OccupancyGrid, occupancyGrid } from './occupancy-grid.ts';
import { type Plane, planeFrame } from './plane.ts';
import { type SurfacePoints, sampleSurface } from './surface-points.ts';
import { addEquation, dot, principalAxes, solve3, unit } from './three-by-three.ts';

export interface MirrorPlane {
  readonly plane: Plane;
  /** Mean of exp(-d^2 / 2 s^2) over the samples, s = 1 percent of the size of the model: 1 for a perfect mirror. */
  readonly score: number;
  /** Distances of the mirrored samples to the surface, mm. */
  readonly rmsMm: number;
  readonly p95Mm: number;
}

export interface Symmetry {
  /** Best first; distinct planes whose score is at least half. Empty: the surface has no mirror plane. */
  readonly planes: readonly MirrorPlane[];
  /** A body of revolution or a ball: more equally good planes than could be told apart, of which only some are listed. */
  readonly ambiguous: boolean;
  /** Twice the farthest distance of the surface from its middle, mm; what "size" means here. */
  readonly spanMm: number;
}

export const SYMMETRY_DEFAULTS = {
  samples: 1500,
  /** Samples for refining candidates. */
  fewSamples: 250,
  /** Distance counted as off, as a share of the size. */
  scoreShare: 0.01,
  /** Rough candidates that are refined. */
  candidates: 12,
  /** Rough candidates that score less than this share of the best are not refined. */
  roughShare: 0.8,
  /** Planes that score so much less than the best are measured on the few samples only. */
  rivalScore: 0.12,
  /** Planes that score less are not reported. */
  leastScore: 0.5,
} as const;

/** Mirror planes of a closed or open surface. Space: that of the mesh, mm. A one-sided detail (a lamp, a pod) is trimmed and does
 *  not tilt the plane. On an exactly mirrored surface the plane is exact to rounding although the samples are random, because the
 *  last steps measure to planes of triangles, not to points.
 *  Cost: about 30,000 nearest-point searches and one coarse grid, 0.2 s for 50,000 triangles; grows with log(numTris).
 *  Method: candidates scored as in Podolak et al. 2006 on a coarse grid, refined by reflection and closest points;
 *  docs/methods/symmetry-plane.md. Weak: two planes less than 10 degrees apart count as one. */
export function symmetryPlane(
  mesh: Mesh,
  tree: BoundingTree,
  work: Work,
  options: { samples?: number; grid?: OccupancyGrid } = {},
): Symmetry {
  work.tick(0, 'looking for the mirror plane');
  const samples = sampleSurface(mesh, options.samples ?? SYMMETRY_DEFAULTS.samples, work.seed);
  if (samples.num === 0) return { planes: [], ambiguous: false, spanMm: 0 };
  const grid = options.grid ?? occupancyGrid(mesh, work);
  const middle = meanOf(samples);
  const spanMm = spanOf(samples, middle);
  work.tick(0.1, 'looking for the mirror plane');
  const surface = { mesh, tree, middle, spanMm };
  const few = searchOver(surface, sampleSurface(mesh, SYMMETRY_DEFAULTS.fewSamples, work.seed + 1));
  const found: MirrorPlane[] = [];
  work.tick(0.2, 'looking for the mirror plane');
  const rough = roughPlanes(few, grid);
  for (const [at, start] of rough.entries()) {
    work.tick(0.3 + (0.4 * at) / rough.length, 'looking for the mirror plane');
    addDistinct(found, measure(refine(start, few), few), spanMm);
  }
  const planes = bestOf(found, searchOver(surface, samples), work);
  return { planes, ambiguous: isAmbiguous(planes), spanMm };
}

interface Surface {
  readonly mesh: Mesh;
  readonly tree: BoundingTree;
  readonly middle: Vec3;
  readonly spanMm: number;
}

/** A surface, samples of it, and room for their mirrored copies and the points of the surface nearest to those. */
interface Search extends Surface {
  readonly samples: SurfacePoints;
  readonly mirrored: Float64Array;
  readonly near: { readonly tri: Int32Array; readonly distanceMm: Float64Array; readonly atMm: Float64Array };
}

function searchOver(surface: Surface, samples: SurfacePoints): Search {
  const { num } = samples;
  return {
    ...surface,
    samples,
    mirrored: new Float64Array(num * 3),
    near: { tri: new Int32Array(num), distanceMm: new Float64Array(num), atMm: new Float64Array(num * 3) },
  };
}

/** Mirrors all samples and looks for the surface within that distance of each. */
function mirrorSamples(plane: Plane, search: Search, withinMm: number): void {
  const { samples, mirrored } = search;
  const [nx, ny, nz] = plane.normal;
  const p = samples.points;
  for (let i = 0; i < p.length; i += 3) {
    const away = 2 * (nx * p[i]! + ny * p[i + 1]! + nz * p[i + 2]! - plane.offsetMm);
    mirrored[i] = p[i]! - away * nx;
    mirrored[i + 1] = p[i + 1]! - away * ny;
    mirrored[i + 2] = p[i + 2]! - away * nz;
  }
  closestPoints(search.tree, mirrored, search.near, { withinMm });
}

function meanOf(samples: SurfacePoints): Vec3 {
  const sum = [0, 0, 0];
  for (let i = 0; i < samples.num * 3; i++) sum[i % 3] = sum[i % 3]! + samples.points[i]!;
  return [sum[0]! / samples.num, sum[1]! / samples.num, sum[2]! / samples.num];
}

function spanOf(samples: SurfacePoints, middle: Vec3): number {
  let far = 0;
  for (let i = 0; i < samples.num; i++) {
    const p = samples.points;
    far = Math.max(far, Math.hypot(p[i * 3]! - middle[0], p[i * 3 + 1]! - middle[1], p[i * 3 + 2]! - middle[2]));
  }
  return far * 2;
}

/** Even normals through the middle and a little beside it, scored on the grid with a wide kernel; the best that differ. */
function roughPlanes(search: Search, grid: OccupancyGrid): Plane[] {
  const { samples, middle, spanMm } = search;
  const kernel = kernelOf(grid, 0.03 * spanMm);
  const scored: { plane: Plane; score: number }[] = [];
  for (const normal of [...principalAxes(samples.points, middle), ...evenDirections(4)]) {
    for (let step = -2; step <= 2; step++) {
      const plane = { normal, offsetMm: dot(normal, middle) + step * 0.015 * spanMm };
      scored.push({ plane, score: gridScore(plane, samples, grid, kernel) });
    }
  }
  scored.sort((a, b) => b.score - a.score);
  const least = scored[0]!.score * SYMMETRY_DEFAULTS.roughShare;
  const out: Plane[] = [];
  for (const { plane, score } of scored) {
    if (out.length >= SYMMETRY_DEFAULTS.candidates || score < least) break;
    if (out.every((other) => Math.abs(dot(other.normal, plane.normal)) < Math.cos(0.2))) out.push(plane);
  }
  return out;
}

function kernelOf(grid: OccupancyGrid, sigmaMm: number): Float32Array {
  const kernel = new Float32Array(grid.distanceMm.length);
  for (let i = 0; i < kernel.length; i++) kernel[i] = Math.exp(-(grid.distanceMm[i]! ** 2) / (2 * sigmaMm * sigmaMm));
  return kernel;
}

function gridScore(plane: Plane, samples: SurfacePoints, grid: OccupancyGrid, kernel: Float32Array): number {
  const [nx, ny, nz] = plane.normal;
  const p = samples.points;
  let sum = 0;
  for (let i = 0; i < p.length; i += 3) {
    const away = 2 * (nx * p[i]! + ny * p[i + 1]! + nz * p[i + 2]! - plane.offsetMm);
    const cell = cellIndex(grid, p[i]! - away * nx, p[i + 1]! - away * ny, p[i + 2]! - away * nz);
    if (cell >= 0) sum += kernel[cell]!;
  }
  return sum / samples.num;
}

/** Moves the plane so that the mirrored samples come to lie on the triangles nearest to them: Gauss-Newton in tilt and shift on
 *  distances to planes of triangles, far ones weighed down (Geman-McClure) by a limit that shrinks from 4 to 0.5 percent. */
function refine(start: Plane, search: Search): Plane {
  let plane = start;
  for (let round = 0; round < 8; round++) {
    const limitMm = search.spanMm * Math.max(0.005, 0.04 * 0.65 ** round);
    const step = bestStep(plane, search, limitMm);
    plane = step.plane;
    if (round > 4 && step.movedMm < 1e-5 * search.spanMm) break;
  }
  return plane;
}

function bestStep(plane: Plane, search: Search, limitMm: number): { plane: Plane; movedMm: number } {
  const { samples, middle, near, mirrored } = search;
  mirrorSamples(plane, search, 3 * limitMm);
  const n = plane.normal;
  const { u, v } = planeFrame(n);
  const offsetMm = plane.offsetMm - dot(n, middle);
  const matrix = new Float64Array(9);
  const right = new Float64Array(3);
  for (let i = 0; i < samples.num; i++) {
    if (near.tri[i]! === NONE) continue;
    const [fx, fy, fz] = faceNormal(search.mesh, near.tri[i]!);
    if (mirroredFacing(samples.normals, i, n, [fx, fy, fz]) < 0.5) continue;
    const at = i * 3;
    const x = samples.points[at]! - middle[0];
    const y = samples.points[at + 1]! - middle[1];
    const z = samples.points[at + 2]! - middle[2];
    const away = n[0] * x + n[1] * y + n[2] * z - offsetMm;
    const residual =
      fx * (mirrored[at]! - near.atMm[at]!) +
      fy * (mirrored[at + 1]! - near.atMm[at + 1]!) +
      fz * (mirrored[at + 2]! - near.atMm[at + 2]!);
    const along = fx * n[0] + fy * n[1] + fz * n[2];
    const alongU = fx * u[0] + fy * u[1] + fz * u[2];
    const alongV = fx * v[0] + fy * v[1] + fz * v[2];
    const tiltU = -2 * ((u[0] * x + u[1] * y + u[2] * z) * along + away * alongU);
    const tiltV = -2 * ((v[0] * x + v[1] * y + v[2] * z) * along + away * alongV);
    const weight = 1 / (1 + (near.distanceMm[i]! / limitMm) ** 2) ** 2;
    addEquation(matrix, right, [tiltU, tiltV, 2 * along], { residual, weight });
  }
  const [a, b, shift] = solve3(matrix, right);
  const normal = unit([n[0] + a * u[0] + b * v[0], n[1] + a * u[1] + b * v[1], n[2] + a * u[2] + b * v[2]]);
  return {
    plane: { normal, offsetMm: (offsetMm + shift) / Math.hypot(1, a, b) + dot(normal, middle) },
    movedMm: Math.hypot(a, b) * search.spanMm + Math.abs(shift),
  };
}

function faceNormal(mesh: Mesh, tri: number): Vec3 {
  const { positions: p, triangles: t } = mesh;
  const a = t[tri * 3]! * 3;
  const b = t[tri * 3 + 1]! * 3;
  const c = t[tri * 3 + 2]! * 3;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  return unit([uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]);
}

/** Cosine between the mirrored normal of sample i and the face found: the other side of a thin wall looks the other way. */
function mirroredFacing(normals: Float64Array, i: number, n: Vec3, face: Vec3): number {
  const x = normals[i * 3]!;
  const y = normals[i * 3 + 1]!;
  const z = normals[i * 3 + 2]!;
  const away = 2 * (n[0] * x + n[1] * y + n[2] * z);
  return (x - away * n[0]) * face[0] + (y - away * n[1]) * face[1] + (z - away * n[2]) * face[2];
}

function measure(plane: Plane, search: Search): MirrorPlane {
  mirrorSamples(plane, search, Infinity);
  const distances = search.near.distanceMm;
  const num = distances.length;
  const sigma = SYMMETRY_DEFAULTS.scoreShare * search.spanMm;
  let score = 0;
  let squares = 0;
  for (let i = 0; i < num; i++) {
    squares += distances[i]! ** 2;
    score += Math.exp(-(distances[i]! ** 2) / (2 * sigma * sigma));
  }
  return {
    plane,
    score: score / num,
    rmsMm: Math.sqrt(squares / num),
    p95Mm: distances.slice().sort()[Math.min(num - 1, Math.floor(0.95 * num))]!,
  };
}

function addDistinct(found: MirrorPlane[], candidate: MirrorPlane, spanMm: number): void {
  if (found.every((other) => isOther(other.plane, candidate.plane, spanMm))) found.push(candidate);
}

function isOther(a: Plane, b: Plane, spanMm: number): boolean {
  const cosine = dot(a.normal, b.normal);
  if (Math.abs(cosine) < Math.cos(0.05)) return true;
  return Math.abs(a.offsetMm - Math.sign(cosine) * b.offsetMm) > 0.1 * spanMm;
}

/** Planes worth reporting, best first; those that could win are polished on all samples, the others keep their first measure. */
function bestOf(found: MirrorPlane[], search: Search, work: Work): MirrorPlane[] {
  found.sort((a, b) => b.score - a.score);
  const best = found[0]?.score ?? 0;
  const out: MirrorPlane[] = [];
  for (const [at, candidate] of found.entries()) {
    if (candidate.score < SYMMETRY_DEFAULTS.leastScore || candidate.score < best - 0.3) break;
    work.tick(0.7 + (0.3 * at) / found.length, 'looking for the mirror plane');
    const rival = candidate.score > best - SYMMETRY_DEFAULTS.rivalScore;
    const known = rival ? measure(polish(candidate.plane, search, work), search) : candidate;
    addDistinct(out, known, search.spanMm);
  }
  return out.sort((a, b) => b.score - a.score);
}

/** All samples, with the narrow limit from the start. */
function polish(start: Plane, search: Search, work: Work): Plane {
  let plane = start;
  for (let round = 0; round < 8; round++) {
    work.tick(0.8, 'looking for the mirror plane');
    const step = bestStep(plane, search, 0.005 * search.spanMm);
    plane = step.plane;
    if (step.movedMm < 1e-6 * search.spanMm) break;
  }
  return plane;
}

/** A cube has nine mirror planes; what has more to show than any cube is round. */
function isAmbiguous(planes: readonly MirrorPlane[]): boolean {
  const best = planes[0]?.score ?? 0;
  return planes.filter((each) => each.score > best - 0.05).length > 9;
}
