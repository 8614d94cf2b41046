// One cut of a part, flat or bowed: the bow that would lower its cost, and whether it can be made.
import { done, type Outcome } from '../../../base/findings.ts';
import { selfCrossings } from '../../../geometry/crossings/self-crossings.ts';
import { type Plane, planeFrame } from '../../../geometry/plane.ts';
import { type PlaneCrossing, planeCrossing, vertHeights } from '../../../geometry/plane-crossing.ts';
import { type MeshPart, type PlaneSplit, splitByPlane } from '../../../geometry/plane-split.ts';
import { faceSlope, outlineCrossings } from '../../../geometry/pull-apart.ts';
import type { SolidWork } from '../../../geometry/solid/solid.ts';
import { meshOf, NONE } from '../../../mesh/mesh.ts';
import { type Bow, bowLift, gentleBow } from './bow.ts';
import { type BowChart, type BowReach, bowChart, CHART_DEFAULTS, DEAREST, outsideStrip } from './bow-chart.ts';
import { outerLines, segmentLength } from './bow-lines.ts';
import { bowPath, PATH_DEFAULTS } from './bow-path.ts';

/** What a cut is judged by: per triangle of the shell. */
export interface PricedShell {
  readonly isOuter: Uint8Array;
  readonly price: Float32Array;
}

/** A bow is taken when it saves this share of the flat seam's cost, and so many mm of fully visible seam. */
const LEAST_SHARE = 0.05;
const LEAST_GAIN_MM = 10;
/** The face of a bowed seam leaves its plane by this slope at most: steeper ones print badly and catch when pulled. */
const MOST_STEEP = 4;
/** Smaller triangles of a face are rounding, mm2. */
const LEAST_FACE_MM2 = 0.02;
/** A line that would gain less by itself stays in its plane. */
const LEAST_LINE_GAIN_MM = 2;
/** Shorter lines stay in their plane. */
const LEAST_LINE_MM = 12;
/** Between columns of the chart the bow is known by this many places. */
const PLACES_EACH = 2;

/** Sum over a crossing's outer segments of length times price: mm of fully visible seam; infinite where it crosses an area kept clear,
 *  whose price is beyond all others. */
export function crossingCost(part: MeshPart, crossing: PlaneCrossing, { isOuter, price }: PricedShell): number {
  let sum = 0;
  crossing.cutTris.forEach((tri, s) => {
    const source = part.sourceTri[tri]!;
    if (source <= NONE || isOuter[source] === 0) return;
    sum += price[source]! > DEAREST ? Infinity : segmentLength(crossing, s) * price[source]!;
  });
  return sum;
}

/** A bow with what its seam costs on the exact cut, and what the flat one does. */
export interface CostedBow {
  readonly bow: Bow;
  readonly costMm: number;
  readonly flatMm: number;
}

/** Of the bows that follow each line's cheapest way, straighter or less straight, those that cost least on the exact cut; null when the
 *  plane costs least. Cost: O(n), the charts, and some six cuts of what lies within reach. */
export function bestBow(part: MeshPart, plane: Plane, shell: PricedShell, reach: BowReach): CostedBow | null {
  const strip = outsideStrip(part, plane, shell, Math.max(reach.upMm, reach.downMm));
  const lines = outerLines(strip.part, strip.crossing, shell.isOuter).map((line) => {
    const chart = bowChart(strip, line, { ...CHART_DEFAULTS, reach });
    return { chart, flat: new Float64Array(chart.places.length), isLong: line.lengthMm >= LEAST_LINE_MM };
  });
  const flatMm = crossingCost(strip.part, strip.crossing, shell);
  let best: CostedBow | null = null;
  const charts = lines.map(({ chart }) => chart);
  const lifts: Float64Array[] = lines.map(({ flat }) => flat);
  lines.forEach(({ chart, isLong }, i) => {
    if (!isLong) return;
    for (const rise of RISES) {
      const path = bowPath(chart, { ...PATH_DEFAULTS, rise });
      if (path.flatMm - path.costMm < LEAST_LINE_GAIN_MM) continue;
      const tried = lifts.map((lift, other) => (other === i ? path.liftMm : lift));
      const bow = bowOf(charts, tried, plane);
      const costMm = costOnStrip(strip.part, bow, shell);
      if (costMm > (best?.costMm ?? flatMm) - LEAST_LINE_GAIN_MM) continue;
      lifts[i] = path.liftMm;
      best = { bow, costMm, flatMm };
    }
  });
  return best;
}

/** Between places of a bow; the face itself may come out a little steeper. */
const MOST_SLOPE = 0.9;

/** From ways that follow every fold to ways that bend only for much. */
const RISES = [0.5, 0.25, 0.12] as const;

function bowOf(charts: readonly BowChart[], lifts: readonly Float64Array[], plane: Plane): Bow {
  const points: number[] = [];
  const liftMm: number[] = [];
  charts.forEach((chart, line) => {
    const lift = lifts[line]!;
    const num = chart.places.length;
    for (let i = 0; i < (chart.isClosed ? num : num - 1); i++) {
      const a = chart.places[i]!.at;
      const b = chart.places[(i + 1) % num]!.at;
      for (let k = 0; k < PLACES_EACH; k++) {
        const f = k / PLACES_EACH;
        for (const c of [0, 1, 2] as const) points.push((1 - f) * a[c] + f * b[c]);
        liftMm.push((1 - f) * lift[i]! + f * lift[(i + 1) % num]!);
      }
    }
    if (chart.isClosed) return;
    points.push(...chart.places[num - 1]!.at);
    liftMm.push(lift[num - 1]!);
  });
  return gentleBow({ plane, points: Float64Array.from(points), liftMm: Float64Array.from(liftMm) }, MOST_SLOPE);
}

function costOnStrip(strip: MeshPart, bow: Bow, shell: PricedShell): number {
  return crossingCost(strip, planeCrossing(strip.mesh, bow.plane, bowLift(strip, bow)), shell);
}

/** What a bow made elsewhere costs in this part. Cost: O(n). */
export function costedBow(part: MeshPart, bow: Bow, shell: PricedShell): CostedBow {
  const mostMm = bow.liftMm.reduce((most, up) => Math.max(most, Math.abs(up)), 0);
  const strip = outsideStrip(part, bow.plane, shell, mostMm);
  return {
    bow,
    costMm: costOnStrip(strip.part, bow, shell),
    flatMm: crossingCost(strip.part, strip.crossing, shell),
  };
}

/** Whether a bow saves a fair share of the flat seam's cost, and more than a few mm of it. */
export function isWorthBowing({ costMm, flatMm }: CostedBow): boolean {
  return flatMm - costMm >= Math.max(LEAST_GAIN_MM, LEAST_SHARE * flatMm);
}

export interface BowedSplit {
  readonly split: PlaneSplit;
  /** Places, xyz interleaved, where the face is too steep, or crosses itself or the surface beside it. */
  readonly trouble: readonly number[];
}

/** Cuts along a bow; null when its face cannot be filled. Refuses what cuts refuse. Cost: O(n), and O(m log m) for what lies about the
 *  face. */
export function bowedSplit(part: MeshPart, bow: Bow, mark: number, work: SolidWork): Outcome<BowedSplit | null> {
  const { normal } = bow.plane;
  const made = splitByPlane(part.mesh, bow.plane, {
    triangulate: work.solid.triangulate,
    sourceTri: part.sourceTri,
    capSourceOf: () => mark,
    lift: bowLift(part, bow),
  });
  if (!made.ok) return made.code === 'SOLID_FAILED' ? done(null) : made;
  const split = made.value;
  const trouble = [
    ...faceSlope(split.below, mark, { normal, leastMm2: LEAST_FACE_MM2, mostSlope: MOST_STEEP }).tooSteep,
  ];
  const { u, v } = planeFrame(normal);
  const flat = outlineCrossings(split.caps.flatMap((cap) => cap.loops));
  for (let i = 0; i < flat.length; i += 2)
    for (const c of [0, 1, 2] as const)
      trouble.push(flat[i]! * u[c] + flat[i + 1]! * v[c] + bow.plane.offsetMm * normal[c]);
  for (const side of [split.below, split.above]) trouble.push(...crossedAtFace(side, mark, bow.plane));
  return done({ split, trouble });
}

/** A corner of each triangle of the new face that crosses anything: looked at among the triangles that come as near to the plane as
 *  the face does. */
function crossedAtFace({ mesh, sourceTri }: MeshPart, mark: number, plane: Plane): number[] {
  const { positions: p, triangles: t } = mesh;
  const heights = vertHeights(p, plane.normal, plane.offsetMm);
  let low = Infinity;
  let high = -Infinity;
  for (let tri = 0; tri < sourceTri.length; tri++) {
    if (sourceTri[tri] !== mark) continue;
    for (let c = 0; c < 3; c++) {
      low = Math.min(low, heights[t[tri * 3 + c]!]!);
      high = Math.max(high, heights[t[tri * 3 + c]!]!);
    }
  }
  const near: number[] = [];
  for (let tri = 0; tri < sourceTri.length; tri++) {
    const a = heights[t[tri * 3]!]!;
    const b = heights[t[tri * 3 + 1]!]!;
    const c = heights[t[tri * 3 + 2]!]!;
    if (Math.max(a, b, c) >= low && Math.min(a, b, c) <= high) near.push(tri);
  }
  const corners = new Uint32Array(near.length * 3);
  near.forEach((tri, i) => {
    for (let c = 0; c < 3; c++) corners[i * 3 + c] = t[tri * 3 + c]!;
  });
  const { crossed } = selfCrossings(meshOf(p, corners));
  return near.flatMap((tri, i) => {
    if (sourceTri[tri] !== mark || crossed[i] === 0) return [];
    const at = t[tri * 3]! * 3;
    return [...p.subarray(at, at + 3)];
  });
}
