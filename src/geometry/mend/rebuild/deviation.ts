// How far a made surface lies from the one it was made from, both ways, and what of the old one is gone.
import type { Work } from '../../../base/work.ts';
import { type BoundingTree, buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoints } from '../../../mesh/closest-point.ts';
import { nextHalfEdge } from '../../../mesh/half-edges.ts';
import { surfaceArea } from '../../../mesh/measure.ts';
import { type Mesh, NONE, type Vec3 } from '../../../mesh/mesh.ts';
import { type SurfacePoints, sampleSurface } from '../../surface-points.ts';
import { type WindingTree, windingFast } from '../../winding/winding-number.ts';
import { rimSides } from './rebuild-rim.ts';

export interface Deviation {
  /** Largest distance, mm, between a point of one surface and the other surface: from the new one to the input, and from the
   *  input, where it bounds something, to the new one. */
  readonly maxMm: number;
  /** 99 percent of the area of both lies nearer than this (the worse of both). */
  readonly p99Mm: number;
  /** A point where the largest distance was found, on the surface it was measured from. Null without samples. */
  readonly atMm: Vec3 | null;
}

export interface SurfaceComparison {
  readonly deviation: Deviation;
  /** New area that spans openings of the input and has nothing to be measured against; not in the deviation. */
  readonly addedAreaMm2: number;
  /** Area of the input that lies farther than a cell from the new surface and not within the solid: sheets and thin walls, gone. */
  readonly lostAreaMm2: number;
  /** Of that the point farthest from the new surface; null when nothing is lost. */
  readonly lostAtMm: Vec3 | null;
  /** Area of the input that lies within the solid: swallowed by overlaps, and not measured. */
  readonly innerAreaMm2: number;
}

export interface DeviationQuestion {
  readonly input: Mesh;
  readonly winding: WindingTree;
  readonly result: Mesh;
  readonly cellMm: number;
}

export const DEVIATION_DEFAULTS = { numSamples: 30_000 } as const;

/** Samples spread evenly over both surfaces, and every vertex of the new one. Cost: one nearest point a sample, two winding
 *  numbers a sample of the input. Method: docs/methods/rebuild.md. Weak: a maximum over samples is a lower bound. */
export function compareSurfaces(
  question: DeviationQuestion,
  work: Work,
  options: { readonly numSamples: number } = DEVIATION_DEFAULTS,
): SurfaceComparison {
  const there = fromResult(question, samplesOn(question.result, question.cellMm, options.numSamples), work);
  work.tick(0.6, 'measuring how far the surface moved');
  const back = fromInput(question, samplesOn(question.input, question.cellMm, options.numSamples), work);
  const worse = there.max >= back.max ? there : back;
  return {
    deviation: { maxMm: worse.max, p99Mm: Math.max(there.p99, back.p99), atMm: worse.at },
    addedAreaMm2: there.apart * surfaceArea(question.result),
    lostAreaMm2: back.apart * surfaceArea(question.input),
    lostAtMm: back.apartAt,
    innerAreaMm2: back.inner * surfaceArea(question.input),
  };
}

/** Two samples a cell are enough. */
function samplesOn(mesh: Mesh, cellMm: number, most: number): number {
  return Math.min(most, Math.ceil((2 * surfaceArea(mesh)) / (cellMm * cellMm)));
}

interface OneWay {
  readonly max: number;
  readonly p99: number;
  readonly at: Vec3 | null;
  readonly apart: number;
  /** The farthest point of what is apart. */
  readonly apartAt: Vec3 | null;
  readonly inner: number;
}

function nearest(
  tree: BoundingTree,
  points: Float64Array,
): { tri: Int32Array; distanceMm: Float64Array; atMm: Float64Array } {
  const num = points.length / 3;
  const out = { tri: new Int32Array(num), distanceMm: new Float64Array(num), atMm: new Float64Array(num * 3) };
  closestPoints(tree, points, out);
  return out;
}

/** A point off the input spans an opening when its nearest point lies on a rim, or when its own winding number is near 1/2: beside
 *  triangles that number is whole, but for the drift near rims. */
function fromResult({ input, winding, result, cellMm }: DeviationQuestion, numSamples: number, work: Work): OneWay {
  work.tick(0, 'measuring how far the surface moved');
  const samples = sampleSurface(result, numSamples, work.seed);
  const found = nearest(winding.tree, samples.points);
  const rims = rimSides(input);
  const isOpen = rims.some((side) => side !== 0);
  const kept = new Float64Array(samples.num);
  let num = 0;
  let apart = 0;
  let max = 0;
  let at: Vec3 | null = null;
  const weigh = (points: Float64Array, n: number, near: ReturnType<typeof nearest>): boolean => {
    const distance = near.distanceMm[n]!;
    if (isOpen && distance > cellMm / 10 && (isOnRim(input, rims, near, n) || isLid(winding, points, n))) return false;
    if (distance > max || at === null) {
      max = distance;
      at = pointOf(points, n);
    }
    return true;
  };
  for (let n = 0; n < samples.num; n++) {
    if (weigh(samples.points, n, found)) kept[num++] = found.distanceMm[n]!;
    else apart++;
  }
  const verts = nearest(winding.tree, result.positions);
  for (let v = 0; v < verts.tri.length; v++) weigh(result.positions, v, verts);
  return { max, p99: percentile(kept, num), at, apart: apart / Math.max(1, samples.num), apartAt: null, inner: 0 };
}

const LID_SHARE = 0.2;

function isLid(winding: WindingTree, points: Float64Array, n: number): boolean {
  return Math.abs(windingFast(winding, points[n * 3]!, points[n * 3 + 1]!, points[n * 3 + 2]!) - 0.5) < LID_SHARE;
}

/** Where on its triangle the nearest point lies: on a side that is rim, as its height over that side is nothing. */
function isOnRim(
  { positions: p, triangles }: Mesh,
  rims: Int16Array,
  near: ReturnType<typeof nearest>,
  n: number,
): boolean {
  const tri = near.tri[n]!;
  if (tri === NONE) return true;
  for (let corner = 0; corner < 3; corner++) {
    const h = tri * 3 + corner;
    if (rims[h] === 0) continue;
    const a = triangles[h]! * 3;
    const b = triangles[nextHalfEdge(h)]! * 3;
    const e = [0, 1, 2].map((c) => p[b + c]! - p[a + c]!) as [number, number, number];
    const d = [0, 1, 2].map((c) => near.atMm[n * 3 + c]! - p[a + c]!) as [number, number, number];
    const cross = Math.hypot(e[1] * d[2] - e[2] * d[1], e[2] * d[0] - e[0] * d[2], e[0] * d[1] - e[1] * d[0]);
    if (cross <= 1e-9 * (e[0] * e[0] + e[1] * e[1] + e[2] * e[2])) return true;
  }
  return false;
}

function fromInput({ input, winding, result, cellMm }: DeviationQuestion, numSamples: number, work: Work): OneWay {
  const samples = sampleSurface(input, numSamples, work.seed + 1);
  const found = nearest(buildBoundingTree(result), samples.points);
  const kept = new Float64Array(samples.num);
  const out = { max: 0, at: null as Vec3 | null, num: 0, lost: 0, farthest: 0, lostAt: null as Vec3 | null, inner: 0 };
  for (let n = 0; n < samples.num; n++) {
    if ((n & 1023) === 0) work.tick(0.6 + (0.4 * n) / samples.num, 'measuring how far the surface moved');
    const distance = found.distanceMm[n]!;
    const inFront = isInside(winding, samples, n, 1e-3 * cellMm);
    const behind = isInside(winding, samples, n, -1e-3 * cellMm);
    if (inFront && behind) {
      out.inner++;
      continue;
    }
    if (distance > cellMm) {
      out.lost++;
      if (distance > out.farthest) {
        out.farthest = distance;
        out.lostAt = pointOf(samples.points, n);
      }
    }
    if (!inFront && !behind) continue;
    kept[out.num++] = distance;
    if (distance > out.max || out.at === null) {
      out.max = distance;
      out.at = pointOf(samples.points, n);
    }
  }
  const all = Math.max(1, samples.num);
  return {
    max: out.max,
    p99: percentile(kept, out.num),
    at: out.at,
    apart: out.lost / all,
    apartAt: out.lostAt,
    inner: out.inner / all,
  };
}

function isInside(winding: WindingTree, { points, normals }: SurfacePoints, n: number, by: number): boolean {
  const at = (c: number): number => points[n * 3 + c]! + by * normals[n * 3 + c]!;
  return windingFast(winding, at(0), at(1), at(2)) >= 0.5;
}

function pointOf(points: Float64Array, n: number): Vec3 {
  return [points[n * 3]!, points[n * 3 + 1]!, points[n * 3 + 2]!];
}

function percentile(values: Float64Array, num: number): number {
  if (num === 0) return 0;
  return values.subarray(0, num).sort()[Math.min(num - 1, Math.floor(0.99 * num))]!;
}
