// Cuts a closed mesh by a plane, or by a surface lifted over one, into two closed meshes that share their cut faces to the bit.
import { done, type Outcome, refuse } from '../base/findings.ts';
import { invariant } from '../base/invariant.ts';
import { type Mesh, meshOf, NONE } from '../mesh/mesh.ts';
import { liftedCaps } from './lifted-caps.ts';
import { type Plane, planeFrame } from './plane.ts';
import { type PlaneAway, planeAwayFromVerts } from './plane-away.ts';
import { type Cap, triangulateCaps } from './plane-caps.ts';
import { loneCorner, type PlaneCrossing, planeCrossing, pointsApart } from './plane-crossing.ts';
import { flattenPoints } from './plane-section.ts';
import { chainLoops } from './section-loops.ts';
import type { SolidKernel } from './solid/solid.ts';

/** A closed mesh whose triangles know where they come from. sourceTri: numTris, a triangle of the uncut mesh (>= 0) or a
 *  cut face (<= NONE). */
export interface MeshPart {
  readonly mesh: Mesh;
  readonly sourceTri: Int32Array;
}

export interface PlaneSplit {
  /** Empty (no triangle) when the mesh lies wholly on the other side. */
  readonly below: MeshPart;
  readonly above: MeshPart;
  /** The connected cut faces; both sides carry the same triangles, turned round above. */
  readonly caps: readonly Cap[];
  readonly capAreaMm2: number;
  /** Length of all cut outlines. */
  readonly seamMm: number;
  /** The plane that was cut by, and how far it was moved along its normal from the one asked for. */
  readonly plane: Plane;
  readonly movedMm: number;
}

export interface SplitOptions {
  readonly triangulate: SolidKernel['triangulate'];
  /** Provenance of the input, when it is a part already; without it triangle t comes from t. */
  readonly sourceTri?: Int32Array;
  /** The mark (<= NONE) for the triangles of cap i; without it all are NONE. */
  readonly capSourceOf?: (cap: number) => number;
  /** The plane may move this far to keep away from vertices; without it, it stays. Not together with `lift`. */
  readonly slackMm?: number;
  /** numVerts, mm: how far the cut passes above the plane at each vertex; without it the cut is flat. */
  readonly lift?: Float64Array;
}

/** Cuts a closed mesh by a plane. A vertex on the plane counts as above it; each cut edge gets one new vertex, the same bits
 *  on both sides; both sides are closed, their volumes sum to the whole and their areas grow by twice the cut faces.
 *  Space: that of the mesh, mm. Cost: O(n), docs/methods/plane-split.md has the seconds.
 *  Refuses: MESH_OPEN (contours do not close), SOLID_FAILED (a cut face cannot be triangulated).
 *  With `lift` the cut is the zero level of height - lift, straight within every triangle, so that the sides still lie on the mesh;
 *  its face is one height over each point of the plane and can be pulled apart along the normal (docs/methods/bowed-seams.md).
 *  Weak: faces in the plane, or vertices on it, leave triangles without area on one side: give `slackMm` (or a lift that keeps
 *  away), or collapse them with `roundToSingle`. Where the surface crosses itself the cut face is closed, but its area counts overlaps by sign.
 *  @example  const cut = splitByPlane(mesh, { normal: [0, 0, 1], offsetMm: 20 }, { triangulate: work.solid.triangulate }); */
export function splitByPlane(mesh: Mesh, asked: Plane, options: SplitOptions): Outcome<PlaneSplit> {
  const { lift } = options;
  invariant(lift === undefined || options.slackMm === undefined, 'a lifted cut keeps away from vertices by its lift');
  const away = options.slackMm === undefined ? null : planeAwayFromVerts(mesh, asked, options.slackMm);
  const plane = away?.plane ?? asked;
  const crossing = planeCrossing(mesh, plane, lift);
  const chain = chainLoops(crossing.start, crossing.end, crossing.lowVert.length);
  if (chain === null) return refuse('MESH_OPEN', 'The outline of a cut does not close: the surface has a hole there.');
  const { u, v } = planeFrame(plane.normal);
  const flat = flattenPoints(crossing.points, u, v);
  const apart = pointsApart(mesh, crossing);
  const shadow = { flat, points: crossing.points, apart: apart === null ? flat : flattenPoints(apart, u, v) };
  const made = triangulateCaps(chain, shadow, options.triangulate);
  if (!made.ok || lift === undefined)
    return made.ok ? sidesBy(mesh, crossing, made.value, { options, plane, away }) : made;
  const lifted = liftedCaps(made.value, shadow, plane);
  return sidesBy(mesh, { ...crossing, points: lifted.points }, lifted.caps, { options, plane, away });
}

function sidesBy(
  mesh: Mesh,
  crossing: PlaneCrossing,
  caps: readonly Cap[],
  by: { readonly options: SplitOptions; readonly plane: Plane; readonly away: PlaneAway | null },
): Outcome<PlaneSplit> {
  return done({
    ...buildSides(mesh, crossing, caps, by.options),
    caps,
    capAreaMm2: caps.reduce((sum, cap) => sum + cap.areaMm2, 0),
    seamMm: caps.reduce((sum, cap) => sum + cap.lengthMm, 0),
    plane: by.plane,
    movedMm: by.away?.movedMm ?? 0,
  });
}

/** One side while it is being written. Its vertices: those of the mesh on that side, in order, then all crossings. */
interface SideBuilder {
  readonly triangles: Uint32Array;
  readonly sourceTri: Int32Array;
  readonly firstCrossing: number;
  filled: number;
}

function buildSides(
  mesh: Mesh,
  crossing: PlaneCrossing,
  caps: readonly Cap[],
  options: SplitOptions,
): { below: MeshPart; above: MeshPart } {
  const { heights, cutTris, numBelow } = crossing;
  const handleOf = new Uint32Array(heights.length);
  let vertsBelow = 0;
  let vertsAbove = 0;
  for (let v = 0; v < heights.length; v++) handleOf[v] = heights[v]! < 0 ? vertsBelow++ : vertsAbove++;
  let loneBelow = 0;
  for (const tri of cutTris)
    if (heights[mesh.triangles[tri * 3 + loneCorner(mesh.triangles, tri * 3, heights)]!]! < 0) loneBelow++;
  const numCap = caps.reduce((sum, cap) => sum + cap.triangles.length / 3, 0);
  const numAbove = mesh.triangles.length / 3 - numBelow - cutTris.length;
  const below = openSide(numBelow + 2 * cutTris.length - loneBelow + numCap, vertsBelow);
  const above = openSide(numAbove + cutTris.length + loneBelow + numCap, vertsAbove);
  copyTriangles(mesh, crossing, { below, above, handleOf, sourceTri: options.sourceTri ?? null });
  caps.forEach((cap, i) => {
    const source = options.capSourceOf?.(i) ?? NONE;
    const t = cap.triangles;
    for (let j = 0; j < t.length; j += 3) {
      const b = below.firstCrossing;
      const a = above.firstCrossing;
      emit(below, b + t[j]!, b + t[j + 1]!, b + t[j + 2]!, source);
      emit(above, a + t[j]!, a + t[j + 2]!, a + t[j + 1]!, source);
    }
  });
  const { points } = crossing;
  return {
    below: closeSide(below, sidePositions(mesh, heights, points, { isBelow: 1, count: vertsBelow })),
    above: closeSide(above, sidePositions(mesh, heights, points, { isBelow: 0, count: vertsAbove })),
  };
}

function openSide(numTris: number, firstCrossing: number): SideBuilder {
  return { triangles: new Uint32Array(numTris * 3), sourceTri: new Int32Array(numTris), firstCrossing, filled: 0 };
}

function emit(side: SideBuilder, a: number, b: number, c: number, source: number): void {
  const t = side.filled++;
  side.triangles[t * 3] = a;
  side.triangles[t * 3 + 1] = b;
  side.triangles[t * 3 + 2] = c;
  side.sourceTri[t] = source;
}

interface CopyInto {
  readonly below: SideBuilder;
  readonly above: SideBuilder;
  readonly handleOf: Uint32Array;
  readonly sourceTri: Int32Array | null;
}

/** Whole triangles go to their side in order; cut ones give one triangle to the lone corner's side and two to the other. */
function copyTriangles(mesh: Mesh, crossing: PlaneCrossing, into: CopyInto): void {
  const { below, above, handleOf, sourceTri } = into;
  const { heights, cutTris } = crossing;
  const triangles = mesh.triangles;
  let nextCut = 0;
  for (let tri = 0, t = 0; t < triangles.length; tri++, t += 3) {
    const source = sourceTri === null ? tri : sourceTri[tri]!;
    if (cutTris[nextCut] === tri) {
      cutTriangle(mesh, crossing, into, { segment: nextCut++, source });
      continue;
    }
    const side = heights[triangles[t]!]! < 0 ? below : above;
    emit(side, handleOf[triangles[t]!]!, handleOf[triangles[t + 1]!]!, handleOf[triangles[t + 2]!]!, source);
  }
}

function cutTriangle(
  mesh: Mesh,
  crossing: PlaneCrossing,
  into: CopyInto,
  at: { readonly segment: number; readonly source: number },
): void {
  const { heights, points } = crossing;
  const t = crossing.cutTris[at.segment]! * 3;
  const corner = loneCorner(mesh.triangles, t, heights);
  const lone = mesh.triangles[t + corner]!;
  const next = mesh.triangles[t + ((corner + 1) % 3)]!;
  const last = mesh.triangles[t + ((corner + 2) % 3)]!;
  const isLoneBelow = heights[lone]! < 0;
  const onNext = isLoneBelow ? crossing.end[at.segment]! : crossing.start[at.segment]!;
  const onLast = isLoneBelow ? crossing.start[at.segment]! : crossing.end[at.segment]!;
  const side = isLoneBelow ? into.below : into.above;
  const other = isLoneBelow ? into.above : into.below;
  emit(side, into.handleOf[lone]!, side.firstCrossing + onNext, side.firstCrossing + onLast, at.source);
  const p = into.handleOf[next]!;
  const q = into.handleOf[last]!;
  const c = other.firstCrossing + onNext;
  const d = other.firstCrossing + onLast;
  if (squaredDistance(points, onNext, mesh.positions, last) <= squaredDistance(points, onLast, mesh.positions, next)) {
    emit(other, c, p, q, at.source);
    emit(other, c, q, d, at.source);
  } else {
    emit(other, c, p, d, at.source);
    emit(other, p, q, d, at.source);
  }
}

function squaredDistance(a: Float64Array, i: number, b: Float64Array, j: number): number {
  const x = a[i * 3]! - b[j * 3]!;
  const y = a[i * 3 + 1]! - b[j * 3 + 1]!;
  const z = a[i * 3 + 2]! - b[j * 3 + 2]!;
  return x * x + y * y + z * z;
}

function sidePositions(
  mesh: Mesh,
  heights: Float64Array,
  points: Float64Array,
  side: { readonly isBelow: 0 | 1; readonly count: number },
): Float64Array {
  if (side.count === 0) return new Float64Array(0);
  const out = new Float64Array(side.count * 3 + points.length);
  let filled = 0;
  for (let v = 0; v < heights.length; v++) {
    if ((heights[v]! < 0 ? 1 : 0) !== side.isBelow) continue;
    out[filled++] = mesh.positions[v * 3]!;
    out[filled++] = mesh.positions[v * 3 + 1]!;
    out[filled++] = mesh.positions[v * 3 + 2]!;
  }
  out.set(points, filled);
  return out;
}

function closeSide(side: SideBuilder, positions: Float64Array): MeshPart {
  return { mesh: meshOf(positions, side.triangles), sourceTri: side.sourceTri };
}
