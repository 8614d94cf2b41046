// Where a thick mating face has room for something round that goes into both pieces: pins, rods, magnets, screws.
import { cross, dot, minus, plus, scaled, unit } from '../../../geometry/three-by-three.ts';
import { insideMm } from '../../../geometry/widest-circle.ts';
import { type BoundingTree, buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoint } from '../../../mesh/closest-point.ts';
import { meshOf, type Vec3 } from '../../../mesh/mesh.ts';
import { raycast } from '../../../mesh/ray.ts';
import type { KeyFrame } from './key-field.ts';
import type { GroundPiece, KeyGround } from './key-ground.ts';
import { type SeamSection, SIDE_INNER } from './seam-section.ts';

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

export interface RoundPlace {
  /** On the mating face. */
  readonly atMm: Vec3;
  /** From there to the nearest side of the face, or to a surface that leans in over it. */
  readonly roomMm: number;
  /** How deep a ball of `circleMm` goes from the face before it meets another surface: into the first piece and the second, no deeper than asked. */
  readonly freeMm: readonly [number, number];
}

export interface RoundSearch {
  readonly need: RoundNeed;
  readonly spacingMm: number;
  /** What other keys fill. */
  readonly taken: readonly RoundBody[];
}

export const ROUND_DEFAULTS = {
  /** From the edge of a key to a sharp corner of the face, and to where its outside or inside ends on another seam, mm. */
  fromEndsMm: 5,
  /** Middles of two keys, in their diameters: nearer together they hold a turn no better than one. */
  leastApart: 3,
  mostPoints: 40_000,
  mostJudged: 3_000,
} as const;

/** The two that lie farthest apart, as a search to and fro from the roomiest finds them; then always the one farthest from those there are, as long
 *  as it keeps the spacing. Empty where no two fit well apart. Space: model, worn. Cost: sides of the face x points of a grid, at most
 *  40 000, and some 20 closest points for each of at most 3 000. Method: pole of inaccessibility and farthest points,
 *  docs/methods/keyed-pieces.md. Weak: places lie on a grid of a fourth of `circleMm` or coarser and are moved only where that makes room, so they
 *  keep no exact symmetry. */
export function roundPlaces(section: SeamSection, ground: KeyGround, search: RoundSearch): RoundPlace[] {
  const { need } = search;
  const leastApart = Math.max(ROUND_DEFAULTS.leastApart * 2 * need.radiusMm, 2 * need.circleMm);
  const free = thinned(roomyPoints(section, need));
  const judge = placeJudge(section, ground, search);
  const judged = new Map<FlatPoint, RoundPlace | null>();
  const placeAt = (point: FlatPoint): RoundPlace | null => {
    if (!judged.has(point)) judged.set(point, judge(point));
    return judged.get(point)!;
  };
  /** The best that a key fits at; none when the score of all others is 0. */
  const best = (score: (point: FlatPoint) => number): FlatPoint | undefined =>
    free
      .map((point) => ({ point, worth: score(point) }))
      .filter(({ worth }) => worth > 0)
      .sort((a, b) => b.worth - a.worth)
      .find(({ point }) => placeAt(point) !== null)?.point;
  const roomiest = best((point) => point.roomMm);
  const first = roomiest && best((point) => apartMm(point, roomiest));
  const second = first && best((point) => apartMm(point, first));
  if (first === undefined || second === undefined || apartMm(first, second) < leastApart) return [];
  const picked = [first, second];
  const least = Math.max(search.spacingMm, leastApart);
  for (;;) {
    const next = best((point) => {
      const mm = Math.min(...picked.map((other) => apartMm(point, other)));
      return mm >= least ? mm : 0;
    });
    if (next === undefined) return picked.map((point) => placeAt(point)!);
    picked.push(next);
  }
}

/** At most so many, evenly picked. */
function thinned(points: readonly FlatPoint[]): readonly FlatPoint[] {
  const every = Math.ceil(points.length / ROUND_DEFAULTS.mostJudged);
  return every <= 1 ? points : points.filter((_, i) => i % every === 0);
}

function apartMm(a: FlatPoint, b: FlatPoint): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

/** The frame of a key at a place; `into` is the way its carrier closes. Right-handed: along x into = inward. */
export function roundFrame(section: SeamSection, at: Vec3, into: Vec3): KeyFrame {
  const inward = inwardAt(section, at);
  return { at, along: cross(into, inward), into, inward };
}

interface FlatPoint {
  readonly x: number;
  readonly y: number;
  readonly roomMm: number;
}

/** Points of a grid with room about them, away from the ends of the seam's lines. */
function roomyPoints({ loops }: SeamSection, { circleMm, radiusMm }: RoundNeed): FlatPoint[] {
  const flats = loops.map(({ flat }) => flat);
  const box = [Infinity, Infinity, -Infinity, -Infinity] as [number, number, number, number];
  for (const flat of flats)
    for (let i = 0; i < flat.length; i += 2) {
      box[0] = Math.min(box[0], flat[i]!);
      box[1] = Math.min(box[1], flat[i + 1]!);
      box[2] = Math.max(box[2], flat[i]!);
      box[3] = Math.max(box[3], flat[i + 1]!);
    }
  const [width, height] = [box[2] - box[0], box[3] - box[1]];
  if (!(width > 0 && height > 0)) return [];
  const step = Math.max(circleMm / 4, Math.sqrt((width * height) / ROUND_DEFAULTS.mostPoints));
  const ends = endsOf(loops);
  const keepOff = ROUND_DEFAULTS.fromEndsMm + radiusMm;
  const points: FlatPoint[] = [];
  const [columns, rows] = [Math.max(1, Math.round(width / step)), Math.max(1, Math.round(height / step))];
  for (let j = 0; j <= rows; j++)
    for (let i = 0; i <= columns; i++) {
      const point = roomiest(flats, [box[0] + (width * i) / columns, box[1] + (height * j) / rows], { circleMm, step });
      if (point === null) continue;
      if (!ends.some((end) => Math.hypot(end[0] - point.x, end[1] - point.y) < keepOff)) points.push(point);
    }
  return points;
}

/** A point of the grid, or one within a step of it where there is room while it has none itself. */
function roomiest(
  flats: readonly Float64Array[],
  [x0, y0]: readonly [number, number],
  { circleMm, step }: { readonly circleMm: number; readonly step: number },
): FlatPoint | null {
  let best: FlatPoint = { x: x0, y: y0, roomMm: insideMm(flats, x0, y0) };
  for (let by = step / 2; best.roomMm < circleMm && best.roomMm >= circleMm - 2 * by && by > 0.01; by /= 2) {
    const { x, y } = best;
    for (let turn = 0; turn < 8; turn++) {
      const [px, py] = [x + by * Math.cos((turn * Math.PI) / 4), y + by * Math.sin((turn * Math.PI) / 4)];
      const roomMm = insideMm(flats, px, py);
      if (roomMm > best.roomMm) best = { x: px, y: py, roomMm };
    }
  }
  return best.roomMm >= circleMm ? best : null;
}

/** Where an outline turns from outside or inside to another seam or back, and the sharp corners at which the face stands out. */
function endsOf(loops: SeamSection['loops']): (readonly [number, number])[] {
  return loops.flatMap(({ flat, sides }) =>
    [...sides.keys()]
      .filter((i) => sides[i] !== sides[(i + sides.length - 1) % sides.length] || turnAt(flat, i) > CORNER_RAD)
      .map((i) => [flat[i * 2]!, flat[i * 2 + 1]!] as const),
  );
}

/** Blunter turns have room beside them; a carved outline is full of them. */
const CORNER_RAD = Math.PI / 3;
const LOOK_MM = 2;

/** How much an outline turns to the left, where the face lies, over LOOK_MM before and after a point. */
function turnAt(flat: Float64Array, i: number): number {
  const [x, y] = [flat[i * 2]!, flat[i * 2 + 1]!];
  const [ax, ay] = lookedAt(flat, i, -1);
  const [bx, by] = lookedAt(flat, i, 1);
  const [ux, uy, vx, vy] = [x - ax, y - ay, bx - x, by - y];
  return Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
}

/** The first point of the outline that is LOOK_MM away. */
function lookedAt(flat: Float64Array, from: number, step: 1 | -1): readonly [number, number] {
  const num = flat.length / 2;
  let at = from;
  for (let k = 1; k < num; k++) {
    at = (from + step * k + num * k) % num;
    if (Math.hypot(flat[at * 2]! - flat[from * 2]!, flat[at * 2 + 1]! - flat[from * 2 + 1]!) >= LOOK_MM) break;
  }
  return [flat[at * 2]!, flat[at * 2 + 1]!];
}

/** Tells of a point whether the key goes in there on both sides, and how deep. */
function placeJudge(
  section: SeamSection,
  ground: KeyGround,
  { need, taken }: RoundSearch,
): (point: FlatPoint) => RoundPlace | null {
  const { origin, u, v, n, seam } = section;
  const pieces = seam.pieces.map((id) => ground.pieces.get(id)!) as [GroundPiece, GroundPiece];
  const walls = pieces.map((piece) => withoutFace(piece, section)) as [BoundingTree, BoundingTree];
  return ({ x, y, roomMm }) => {
    const atMm = onFace(pieces[0], section, plus(plus(origin, scaled(u, x)), scaled(v, y)));
    if (atMm === null) return null;
    const freeMm = [scaled(n, -1), n].map((way, side) =>
      freeDepth(walls[side as 0 | 1], { atMm, way, ballMm: need.circleMm, mostMm: need.depthMm[side as 0 | 1] }),
    ) as [number, number];
    if (freeMm.some((mm, side) => mm < need.depthMm[side as 0 | 1] - 1e-9)) return null;
    const body = bodyAt(atMm, n, need);
    if (taken.some((other) => bodiesGap(body, other) < need.circleMm - need.radiusMm)) return null;
    const aside = walls.map((tree) => closestPoint(tree, atMm)?.distanceMm ?? Infinity);
    return { atMm, roomMm: Math.min(roomMm, ...aside), freeMm };
  };
}

/** What a key fills. */
export function bodyAt(atMm: Vec3, n: Vec3, { depthMm, radiusMm }: RoundNeed): RoundBody {
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

/** Across the wall to its inside; without an inner side, away from the nearest side. */
function inwardAt({ loops, origin, u, v }: SeamSection, at: Vec3): Vec3 {
  const [x, y] = [dot(minus(at, origin), u), dot(minus(at, origin), v)];
  const hasInner = loops.some(({ sides }) => sides.includes(SIDE_INNER));
  let [least, dx, dy] = [Infinity, 1, 0];
  for (const { flat, sides } of loops)
    for (let i = 0; i < sides.length; i++) {
      if (hasInner && sides[i] !== SIDE_INNER) continue;
      const j = (i + 1) % sides.length;
      const [ax, ay] = [flat[i * 2]!, flat[i * 2 + 1]!];
      const [ex, ey] = [flat[j * 2]! - ax, flat[j * 2 + 1]! - ay];
      const share = Math.max(0, Math.min(1, ((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey || 1)));
      const [px, py] = [ax + share * ex - x, ay + share * ey - y];
      if (Math.hypot(px, py) < least) [least, dx, dy] = [Math.hypot(px, py), px, py];
    }
  const sign = hasInner ? 1 : -1;
  return unit(plus(scaled(u, sign * dx), scaled(v, sign * dy)));
}
