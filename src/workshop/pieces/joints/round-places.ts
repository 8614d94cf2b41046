// Where a thick mating face has room for something round that goes into both pieces: pins, rods, magnets, screws.
import { cross, dot, minus, plus, scaled, unit } from '../../../geometry/three-by-three.ts';
import { insideMm } from '../../../geometry/widest-circle.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { KeyFrame } from './key-field.ts';
import type { KeyGround } from './key-ground.ts';
import { type FlatPoint, isAwayFrom, placeJudge, type RoundBody, type RoundFit, type RoundNeed } from './round-room.ts';
import { type SeamSection, SIDE_INNER } from './seam-section.ts';

export interface RoundSearch {
  /** Best first: each place takes the first that it meets. */
  readonly needs: readonly RoundNeed[];
  readonly spacingMm: number;
  /** What other keys fill. */
  readonly taken: readonly RoundBody[];
}

export const ROUND_DEFAULTS = {
  /** Middles of two keys, in their diameters: nearer together they hold a turn no better than one. */
  leastApart: 3,
  /** A place gives up so much of its distance to others for a thicker or longer key, mm; so many places are looked at. */
  givenMm: 5,
  mostNear: 60,
  mostPoints: 40_000,
  mostJudged: 3_000,
} as const;

/** The two that lie farthest apart, as a search to and fro from the roomiest finds them; then always the one farthest from those there are, as long
 *  as it keeps the spacing. Empty where no two fit well apart. Space: model, worn. Cost: sides of the face x points of a grid, at most
 *  40 000, and some 20 closest points for each of at most 3 000. Method: pole of inaccessibility and farthest points,
 *  docs/methods/keyed-pieces.md. Weak: places lie on a grid of a fourth of `circleMm` or coarser and are moved only where that makes room, so they
 *  keep no exact symmetry. */
export function roundPlaces(section: SeamSection, ground: KeyGround, search: RoundSearch): RoundFit[] {
  const least = leastNeed(search.needs);
  const leastApart = Math.max(
    ROUND_DEFAULTS.leastApart * 2 * least.radiusMm,
    ...search.needs.map(({ circleMm }) => 2 * circleMm),
  );
  const free = thinned(roomyPoints(section, least));
  const judge = placeJudge(section, ground, { ...search, ends: endsOf(section.loops) });
  const judged = new Map<FlatPoint, RoundFit | null>();
  const placeAt = (point: FlatPoint): RoundFit | null => {
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
  /** Nearly as good, where a better need is met there. */
  const better = (score: (point: FlatPoint) => number): FlatPoint | undefined => {
    const top = best(score);
    if (top === undefined || placeAt(top)!.need === 0) return top;
    const least = score(top) - ROUND_DEFAULTS.givenMm;
    const near = free.filter((point) => score(point) >= least && score(point) > 0);
    const every = Math.ceil(near.length / ROUND_DEFAULTS.mostNear);
    let chosen = top;
    for (let i = 0; i < near.length; i += every) {
      const need = placeAt(near[i]!)?.need ?? Infinity;
      const now = placeAt(chosen)!.need;
      if (need < now || (need === now && score(near[i]!) > score(chosen))) chosen = near[i]!;
    }
    return chosen;
  };
  const roomiest = best((point) => point.roomMm);
  const first = roomiest && better((point) => apartMm(point, roomiest));
  const second = first && better((point) => apartMm(point, first));
  if (first === undefined || second === undefined || apartMm(first, second) < leastApart) return [];
  const picked = [first, second];
  const spacing = Math.max(search.spacingMm, leastApart);
  for (;;) {
    const next = better((point) => {
      const mm = Math.min(...picked.map((other) => apartMm(point, other)));
      return mm >= spacing ? mm : 0;
    });
    if (next === undefined) return picked.map((point) => placeAt(point)!);
    picked.push(next);
  }
}

/** What any of them needs at least. */
function leastNeed(needs: readonly RoundNeed[]): Pick<RoundNeed, 'circleMm' | 'radiusMm'> {
  return {
    circleMm: Math.min(...needs.map(({ circleMm }) => circleMm)),
    radiusMm: Math.min(...needs.map(({ radiusMm }) => radiusMm)),
  };
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

/** Points of a grid with room about them, away from the ends of the seam's lines. */
function roomyPoints(
  { loops }: SeamSection,
  { circleMm, radiusMm }: Pick<RoundNeed, 'circleMm' | 'radiusMm'>,
): FlatPoint[] {
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
  const points: FlatPoint[] = [];
  const [columns, rows] = [Math.max(1, Math.round(width / step)), Math.max(1, Math.round(height / step))];
  for (let j = 0; j <= rows; j++)
    for (let i = 0; i <= columns; i++) {
      const point = roomiest(flats, [box[0] + (width * i) / columns, box[1] + (height * j) / rows], { circleMm, step });
      if (point === null) continue;
      if (isAwayFrom(ends, point, radiusMm)) points.push(point);
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
