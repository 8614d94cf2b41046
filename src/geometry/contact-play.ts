// How far a body may move within the gaps that its contacts leave, and how far a place on it then lies off.
import type { Vec3 } from '../mesh/mesh.ts';
import { type Constraints, type LinearOutcome, linearPrograms } from './linear/linear-program.ts';
import { planeFrame } from './plane.ts';
import { cross, dot } from './three-by-three.ts';

/** Places where a moving body meets a fixed one. */
export interface Contacts {
  /** num x 3, mm. */
  readonly points: Float64Array;
  /** num x 3, unit: the moving body cannot move this way there by more than the gap. */
  readonly normals: Float64Array;
  /** num, mm; 0 where they touch. */
  readonly gapMm: Float64Array;
}

/** Places whose misfit is asked for. */
export interface WatchedEdge {
  /** num x 3, mm. */
  readonly points: Float64Array;
  /** num x 3, unit: the line along which a misfit is seen there, either way. */
  readonly directions: Float64Array;
}

export interface PlayOptions {
  /** The moving body is pressed flat onto the fixed one that way (unit): it slides square to it and turns about it, but neither lifts
   *  nor tips. Null: it may move in all six ways, and whatever stops it is among the contacts. */
  readonly pressed: Vec3 | null;
}

/** A small rigid motion: a point p goes by shiftMm + turnRad x (p - aboutMm). */
export interface SmallMotion {
  readonly aboutMm: Vec3;
  readonly shiftMm: Vec3;
  readonly turnRad: Vec3;
}

export interface Play {
  /** The farthest that a watched place goes along its direction; Infinity when nothing stops it. */
  readonly misfitMm: number;
  readonly atMm: Vec3;
  /** The motion that does it; null when it has no end. */
  readonly motion: SmallMotion | null;
  /** Whether every motion there is stops somewhere. */
  readonly held: boolean;
  /** What the true motion of any point differs by at most from what is reckoned here, turns being taken as small; Infinity when not held. */
  readonly secondOrderMm: number;
}

/** Largest misfit along `edge` (at least one place) over all small motions m . (shift + turn x (p - about)) <= gap at every contact.
 *  A gap below 0 is a press fit and counts as 0.
 *  Cost: one linear program of 3 (pressed) or 6 variables twice a place, each some passes over the few contacts that matter and one over
 *  all: under 0.1 ms at 1,000 contacts, pressed. Never refuses.
 *  Method: linear programs over one-sided contacts (first-order form closure); docs/methods/joint-play.md, with the bound of the second
 *  order. Weak: contacts are taken as if their faces went on for ever. */
export function playOf(contacts: Contacts, edge: WatchedEdge, options: PlayOptions): Play {
  const motions = motionsLookedAt(contacts, edge, options.pressed);
  const most = linearPrograms(limitsOf(contacts, motions));
  const ends = endsOf(motions, most);
  const worst = farthest(edge, motions, { most, ...ends });
  const motion = worst.outcome.status === 'best' ? motionAt(worst.outcome.at, motions) : null;
  return {
    misfitMm: motion === null ? Infinity : Math.max(0, worst.misfitMm),
    atMm: placeOf(edge.points, worst.at),
    motion,
    held: ends.held,
    secondOrderMm: ends.held ? (ends.mostTurnRad ** 2 * motions.reachMm) / 2 : Infinity,
  };
}

/** A pressed body does not move along a contact that looks the way it is pressed: with less than this share of its normal aside, it would
 *  be held by rounding only. */
const LEAST_ASIDE = 0.01;

/** The ways to move: x of them make shift = sum of x shifts, turn = sum of x turns. */
interface Motions {
  readonly about: Vec3;
  /** How far the farthest contact or watched place is from there. */
  readonly reachMm: number;
  readonly ways: readonly { readonly shift: Vec3; readonly turn: Vec3 }[];
}

const STILL: Vec3 = [0, 0, 0];

/** Turns are counted in millimetres at the farthest contact, so that all variables are of like size. */
function motionsLookedAt(contacts: Contacts, edge: WatchedEdge, pressed: Vec3 | null): Motions {
  const about = middleOf(contacts.points.length > 0 ? contacts.points : edge.points);
  const lever = Math.max(1, farthestFrom(about, contacts.points));
  const slides: readonly Vec3[] = pressed === null ? AXES : Object.values(planeFrame(pressed));
  const turns: readonly Vec3[] = pressed === null ? AXES : [pressed];
  return {
    about,
    reachMm: Math.max(farthestFrom(about, contacts.points), farthestFrom(about, edge.points)),
    ways: [
      ...slides.map((shift) => ({ shift, turn: STILL })),
      ...turns.map(([x, y, z]) => ({ shift: STILL, turn: [x / lever, y / lever, z / lever] as const })),
    ],
  };
}

const AXES: readonly Vec3[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** How far a point goes along a direction, for one of each way. */
function alongOf(point: Vec3, direction: Vec3, { about, ways }: Motions): number[] {
  const arm: Vec3 = [point[0] - about[0], point[1] - about[1], point[2] - about[2]];
  const moment = cross(arm, direction);
  return ways.map(({ shift, turn }) => dot(shift, direction) + dot(turn, moment));
}

function limitsOf({ points, normals, gapMm }: Contacts, motions: Motions): Constraints {
  const numVars = motions.ways.length;
  const rows: number[] = [];
  const limits: number[] = [];
  for (let i = 0; i < gapMm.length; i++) {
    const normal = placeOf(normals, i);
    if (Math.hypot(...motions.ways.map(({ shift }) => dot(shift, normal))) < LEAST_ASIDE) continue;
    rows.push(...alongOf(placeOf(points, i), normal, motions));
    limits.push(Math.max(0, gapMm[i]!));
  }
  return { numVars, rows: Float64Array.from(rows), limits: Float64Array.from(limits) };
}

type Most = (objective: ArrayLike<number>) => LinearOutcome;

/** Each way to and fro: when all of these end, so does every motion made of them. */
function endsOf({ ways }: Motions, most: Most): Ends {
  let square = 0;
  const ends = ways.map(({ turn }, way) => {
    const [to, fro] = [1, -1].map((sign) => {
      const outcome = most(ways.map((_, k) => (k === way ? sign : 0)));
      return outcome.status === 'best' ? outcome.value : Infinity;
    }) as [number, number];
    const value = Math.max(...[to, fro].filter((end) => end < Infinity), 0);
    square += value ** 2 * dot(turn, turn);
    return { to, fro };
  });
  return { ends, held: ends.every(({ to, fro }) => to + fro < Infinity), mostTurnRad: Math.sqrt(square) };
}

interface Ends {
  /** How far each way goes, to and fro; Infinity where nothing stops it. */
  readonly ends: readonly { readonly to: number; readonly fro: number }[];
  readonly held: boolean;
  readonly mostTurnRad: number;
}

interface Farthest {
  readonly misfitMm: number;
  /** Which of the watched places. */
  readonly at: number;
  readonly outcome: LinearOutcome;
}

/** No place can go farther than all ways at their ends together, so places are asked in that order, and none that could not beat the worst. */
function farthest(
  { points, directions }: WatchedEdge,
  motions: Motions,
  { most, ends }: Ends & { readonly most: Most },
): Farthest {
  const asked = Array.from({ length: points.length / 3 }, (_, at) => {
    const along = alongOf(placeOf(points, at), placeOf(directions, at), motions);
    return [1, -1].map((sign) => {
      const objective = along.map((x) => sign * x);
      return { at, objective, boundMm: objective.reduce((sum, x, k) => sum + endOf(x, ends[k]!), 0) };
    });
  }).flat();
  asked.sort((a, b) => (a.boundMm === b.boundMm ? a.at - b.at : b.boundMm - a.boundMm));
  let worst: Farthest = { misfitMm: -Infinity, at: 0, outcome: { status: 'infeasible' } };
  for (const { at, objective, boundMm } of asked) {
    if (boundMm <= worst.misfitMm) break;
    const outcome = most(objective);
    if (outcome.status !== 'best') return { misfitMm: Infinity, at, outcome };
    if (outcome.value > worst.misfitMm) worst = { misfitMm: outcome.value, at, outcome };
  }
  return worst;
}

function endOf(share: number, { to, fro }: Ends['ends'][number]): number {
  if (share === 0) return 0;
  return share > 0 ? share * to : -share * fro;
}

function motionAt(x: Float64Array, { about, ways }: Motions): SmallMotion {
  const sum = (of: 'shift' | 'turn', c: 0 | 1 | 2): number =>
    ways.reduce((total, way, k) => total + x[k]! * way[of][c], 0);
  return {
    aboutMm: about,
    shiftMm: [sum('shift', 0), sum('shift', 1), sum('shift', 2)],
    turnRad: [sum('turn', 0), sum('turn', 1), sum('turn', 2)],
  };
}

function placeOf(points: Float64Array, i: number): Vec3 {
  return [points[i * 3]!, points[i * 3 + 1]!, points[i * 3 + 2]!];
}

function middleOf(points: Float64Array): Vec3 {
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < points.length; i++) sum[(i % 3) as 0 | 1 | 2] += points[i]!;
  const num = Math.max(1, points.length / 3);
  return [sum[0] / num, sum[1] / num, sum[2] / num];
}

function farthestFrom([x, y, z]: Vec3, points: Float64Array): number {
  let most = 0;
  for (let i = 0; i < points.length; i += 3)
    most = Math.max(most, Math.hypot(points[i]! - x, points[i + 1]! - y, points[i + 2]! - z));
  return most;
}
