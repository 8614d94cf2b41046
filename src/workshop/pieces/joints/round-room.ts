// Whether something round goes into both pieces at a place of their mating face.
import { dot, minus, plus, scaled } from '../../../geometry/three-by-three.ts';
import { type BoundingTree, buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoint } from '../../../mesh/closest-point.ts';
import { meshOf, type Vec3 } from '../../../mesh/mesh.ts';
import { raycast } from '../../../mesh/ray.ts';
import type { GroundPiece, KeyGround } from './key-ground.ts';
import type { SeamSection } from './seam-section.ts';

/** A straight round body: two ends and a radius. */
export interface RoundBody {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly radiusMm: number;
}

/** What a round key needs at its place, mm. */
export interface RoundNeed {
  /** From its middle to every side of the face and to every surface of the piece, along its depth: its own radius, clearance and skin. */
  readonly circleMm: number;
  /** Its own radius. */
  readonly radiusMm: number;
  /** Into the first piece of the seam, and into the second. */
  readonly depthMm: readonly [number, number];
}

/** A place in the plane of the face, and the distance from there to its nearest side. */
export interface FlatPoint {
  readonly x: number;
  readonly y: number;
  readonly roomMm: number;
}

/** From the edge of a key to a sharp corner of the face, and to where its outside or inside ends on another seam, mm. */
export const FROM_ENDS_MM = 5;

export interface RoundAsked {
  /** Best first. */
  readonly needs: readonly RoundNeed[];
  /** What other keys fill. */
  readonly taken: readonly RoundBody[];
  /** Sharp corners of the face and ends on another seam, in its plane. */
  readonly ends: readonly (readonly [number, number])[];
}

export interface RoundFit {
  readonly atMm: Vec3;
  readonly roomMm: number;
  /** Which of the needs. */
  readonly need: number;
}

export function isAwayFrom(ends: RoundAsked['ends'], { x, y }: Pick<FlatPoint, 'x' | 'y'>, radiusMm: number): boolean {
  return ends.every((end) => Math.hypot(end[0] - x, end[1] - y) >= FROM_ENDS_MM + radiusMm);
}

/** Tells of a point which of the needs goes in there on both sides: the first that does. Cost: some 20 closest points for each need. */
export function placeJudge(
  section: SeamSection,
  ground: KeyGround,
  { needs, taken, ends }: RoundAsked,
): (point: FlatPoint) => RoundFit | null {
  const { origin, u, v, n, seam } = section;
  const pieces = seam.pieces.map((id) => ground.pieces.get(id)!) as [GroundPiece, GroundPiece];
  const walls = pieces.map((piece) => withoutFace(piece, section)) as [BoundingTree, BoundingTree];
  return ({ x, y, roomMm }) => {
    const atMm = onFace(pieces[0], section, plus(plus(origin, scaled(u, x)), scaled(v, y)));
    if (atMm === null) return null;
    const isFree = (ballMm: number, way: Vec3, side: 0 | 1, mostMm: number): boolean =>
      freeDepth(walls[side], { atMm, way, ballMm, mostMm }) >= mostMm - 1e-9;
    const need = needs.findIndex(({ circleMm, radiusMm, depthMm }) => {
      if (roomMm < circleMm || !isAwayFrom(ends, { x, y }, radiusMm)) return false;
      if (!isFree(circleMm, scaled(n, -1), 0, depthMm[0]) || !isFree(circleMm, n, 1, depthMm[1])) return false;
      const body = bodyAt(atMm, n, { depthMm, radiusMm });
      return !taken.some((other) => bodiesGap(body, other) < circleMm - radiusMm);
    });
    if (need < 0) return null;
    const aside = walls.map((tree) => closestPoint(tree, atMm)?.distanceMm ?? Infinity);
    return { atMm, roomMm: Math.min(roomMm, ...aside), need };
  };
}

/** What a key fills. */
export function bodyAt(atMm: Vec3, n: Vec3, { depthMm, radiusMm }: Pick<RoundNeed, 'depthMm' | 'radiusMm'>): RoundBody {
  return { from: plus(atMm, scaled(n, -depthMm[0])), to: plus(atMm, scaled(n, depthMm[1])), radiusMm };
}

/** How far a ball goes along `way` before its middle is nearer than its radius to a surface: it always may go on by what is left of its
 *  distance, since that changes by no more than the way gone. */
function freeDepth(
  tree: BoundingTree,
  {
    atMm,
    way,
    ballMm,
    mostMm,
  }: { readonly atMm: Vec3; readonly way: Vec3; readonly ballMm: number; readonly mostMm: number },
): number {
  let depth = 0;
  while (depth < mostMm) {
    const left = (closestPoint(tree, plus(atMm, scaled(way, depth)))?.distanceMm ?? Infinity) - ballMm;
    if (left < LEAST_STEP_MM) return left < 0 ? Math.max(0, depth - LEAST_STEP_MM) : depth;
    depth += left;
  }
  return mostMm;
}

const LEAST_STEP_MM = 0.01;

/** The point of a mating face over a place in its plane; the place itself when the face is flat. */
function onFace(piece: GroundPiece, { n, seam }: SeamSection, place: Vec3): Vec3 | null {
  if (seam.bowMm === 0) return place;
  const slack = seam.bowMm + 0.1;
  const hit = raycast(piece.tree, plus(place, scaled(n, -slack)), n, { to: 2 * slack });
  return hit === null || piece.sourceTri[hit.tri]! >= 0 ? null : plus(place, scaled(n, hit.t - slack));
}

/** A tree over all of the piece but its faces in the seam's plane. */
function withoutFace({ mesh, sourceTri }: GroundPiece, { n, seam }: SeamSection): BoundingTree {
  const { positions: p, triangles } = mesh;
  const slack = seam.bowMm + 1e-3;
  const out = new Uint32Array(triangles.length);
  let kept = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const isFace =
      sourceTri[t / 3]! < 0 &&
      [0, 1, 2].every((c) => {
        const v = triangles[t + c]! * 3;
        return Math.abs(dot([p[v]!, p[v + 1]!, p[v + 2]!], n) - seam.plane.offsetMm) <= slack;
      });
    if (!isFace) for (let c = 0; c < 3; c++) out[kept++] = triangles[t + c]!;
  }
  return buildBoundingTree(meshOf(p, out.slice(0, kept)));
}

/** Between the skins of two straight round bodies, mm; by places along the one, so up to 0.1 mm too much. */
export function bodiesGap(a: RoundBody, b: RoundBody): number {
  const along = minus(a.to, a.from);
  const steps = Math.max(1, Math.ceil(Math.hypot(...along)));
  let least = Infinity;
  for (let i = 0; i <= steps; i++) {
    const at = plus(a.from, scaled(along, i / steps));
    const other = minus(b.to, b.from);
    const share = Math.max(0, Math.min(1, dot(minus(at, b.from), other) / (dot(other, other) || 1)));
    least = Math.min(least, Math.hypot(...minus(at, plus(b.from, scaled(other, share)))));
  }
  return least - a.radiusMm - b.radiusMm;
}
