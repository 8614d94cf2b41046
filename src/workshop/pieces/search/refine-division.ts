// Settles a finished division: each plane moved and tilted to where its seam costs least on the shell itself, and nearly coplanar cuts made one.

import type { Work } from '../../../base/work.ts';
import type { Plane } from '../../../geometry/plane.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import { seamLine } from '../price/seam-gauge.ts';
import { type SettlingStep, valleysNear } from '../price/seam-valleys.ts';
import type { PartCut } from './candidate-cuts.ts';
import { isLopsided, isMirrorPlane, mirroredPlane, seamCost } from './cut-costs.ts';
import { type Division, divisionOf } from './division-search.ts';
import { type DivisionTask, type ProxyPart, type SplitPart, splitPart } from './proxy-part.ts';

const OFFSETS_MM = [-8, -4, -2, 2, 4, 8] as const;
/** Cuts of different branches this near are tried as one plane. */
const SNAP_DEG = 8;
/** A plane this near to level or upright is tried so. */
const STRAIGHT_DEG = 12;
const SNAP_MM = 15;
/** What one plane instead of two is worth, mm of visible seam: one line to follow with file and filler. */
const SNAP_WORTH_MM = 80;
/** Far and coarse first, near and exact last. */
const STEPS: readonly SettlingStep[] = [
  { tiltsDeg: [-9, -5, -2, 0, 2, 5, 9], reachMm: 16, stepMm: 0.5, mostTris: 6000, most: 6 },
  { tiltsDeg: [-6, -3, -1, 0, 1, 3, 6], reachMm: 10, stepMm: 0.5, mostTris: 8000, most: 4 },
  { tiltsDeg: [-1, -0.5, 0, 0.5, 1], reachMm: 2, stepMm: 0.2, mostTris: 30000, most: 2 },
];

/** The division with its planes settled. Mirror images move together, planes already in one stay so, planes square to the symmetry
 *  plane tilt about the x axis only. A move is kept when all parts still fit and the whole costs less, support included.
 *  Cost: moves x splits below the moved plane, about 2 ms each; and the lines of some fifty tilts a plane, about 10 ms. */
export function refineDivision(task: DivisionTask, division: Division, work: Work): Division {
  const replay = replayOf(task, division);
  let planes: readonly Plane[] = division.cuts.map((one) => one.cut.plane);
  const start = replay(planes) ?? null;
  if (start === null) return division;
  let best: Replayed = start;
  STEPS.forEach((step, round) => {
    for (let i = 0; i < planes.length; i++) {
      const tryMoves = (moves: readonly Plane[]): boolean => {
        const from = planes;
        for (const plane of moves) {
          work.tick(round / STEPS.length, 'settling the seams');
          const moved = movedTogether(task, from, i, plane);
          const tried = moved === null ? null : replay(moved);
          if (moved === null || tried === null || tried.costMm > best.costMm - 1) continue;
          best = tried;
          planes = moved;
          return true;
        }
        return false;
      };
      const isFound = tryMoves(valleysOf(task, best, planes, { i, step }));
      if (!isFound && round === 0) tryMoves(nearPlanes(planes, i));
      const { part } = best.division.cuts[i]!;
      tryMoves([...snaps(planes, i, part), ...straightened(task, planes[i]!, part)]);
    }
  });
  return best.division;
}

/** What a cut measures on the shell itself, whatever that weighs. */
export interface CutGauge {
  /** Cost of its line by the price of the shell, mm. */
  readonly seamMm: number;
  /** See PlaneSweep.grazingMm2. */
  readonly grazingMm2: number;
}

/** Per cut of the division. */
export function cutGauges(task: DivisionTask, division: Division): CutGauge[] {
  return division.cuts.map(({ part, cut }) => gaugeOf(task, part, cut.plane));
}

export function gaugeOf(task: DivisionTask, part: ProxyPart, plane: Plane): CutGauge {
  const { costMm: seamMm } = seamLine(task.shell, part, plane);
  return { seamMm, grazingMm2: grazingOf(task, part, plane) };
}

/** The division with its seams as they were measured on the shell, and all weighed as the task does, its planes as they are. */
export function weighedByGauges(task: DivisionTask, division: Division, gauges: readonly CutGauge[]): Division {
  const planes = division.cuts.map((one) => one.cut.plane);
  const cuts = division.cuts.map(
    ({ part, cut }, i): PartCut => ({
      part,
      cut: { ...cut, costMm: seamCost(task, gauges[i]!) + lopsidedOf(task, part, planes, i) },
    }),
  );
  const weighed = divisionOf(task, division.whole, cuts, division.leaves);
  return { ...weighed, expectedMm: weighed.expectedMm - coplanarWorth(planes) };
}

/** The same, measured here. */
export function measuredDivision(task: DivisionTask, division: Division): Division {
  return weighedByGauges(task, division, cutGauges(task, division));
}

function coplanarWorth(planes: readonly Plane[]): number {
  return SNAP_WORTH_MM * numCoplanar(planes);
}

/** Valleys of the seams that lie in the i-th plane, cheapest first. */
function valleysOf(
  task: DivisionTask,
  now: Replayed,
  planes: readonly Plane[],
  { i, step }: { readonly i: number; readonly step: SettlingStep },
): Plane[] {
  const plane = planes[i]!;
  const isSquare = task.mirrorX !== null && Math.abs(plane.normal[0]) < 1e-9;
  if (isMirrorPlane(task, plane) && !isSquare) return [];
  if (planes.findIndex((other) => isSame(other, plane)) < i) return [];
  const parts = now.division.cuts.filter((_, j) => isSame(planes[j]!, plane)).map((one) => one.part);
  return valleysNear(task.shell, parts, plane, { ...step, turns: isSquare ? 'about x' : 'any' });
}

/** The division with one of its planes put elsewhere, its mirror image and those in one plane with it alike; null when a part would not
 *  fit any more, or would fall apart another way. */
export function withPlaneMoved(task: DivisionTask, division: Division, was: Plane, byMm: number): Division | null {
  const planes = division.cuts.map((one) => one.cut.plane);
  const i = planes.findIndex((plane) => isSame(plane, was));
  if (i < 0) return null;
  const moved = movedTogether(task, planes, i, { normal: was.normal, offsetMm: was.offsetMm + byMm });
  return moved === null ? null : (replayOf(task, division)(moved)?.division ?? null);
}

interface Replayed {
  readonly division: Division;
  /** Cost of the division, less what coplanar cuts are worth. */
  readonly costMm: number;
}

/** Where a cut's part comes from: a part on one side of an earlier cut; `from` is -1 for the whole. */
interface Origin {
  readonly from: number;
  readonly side: 'below' | 'above';
}

function replayOf(task: DivisionTask, division: Division): (planes: readonly Plane[]) => Replayed | null {
  const origins = division.cuts.map(({ part }) => originOf(division, part));
  const isLast = (i: number, side: Origin['side']) => !origins.some((one) => one.from === i && one.side === side);
  const isTooLarge = (part: ProxyPart) => part.need.pieces > 1;
  const splits = new Map<ProxyPart, Map<Plane, SplitPart>>();
  const gauges = new Map<ProxyPart, Map<Plane, CutGauge>>();
  const gauge = (part: ProxyPart, plane: Plane) => {
    const known = gauges.get(part) ?? new Map<Plane, CutGauge>();
    gauges.set(part, known);
    const measured = known.get(plane) ?? gaugeOf(task, part, plane);
    known.set(plane, measured);
    return measured;
  };
  const split = (part: ProxyPart, plane: Plane) => {
    const known = splits.get(part) ?? new Map<Plane, SplitPart>();
    splits.set(part, known);
    const sides = known.get(plane) ?? splitPart(task, part, plane);
    known.set(plane, sides);
    return sides;
  };
  return (planes) => {
    const splitting: { readonly part: ProxyPart; readonly sides: SplitPart }[] = [];
    for (let i = 0; i < planes.length; i++) {
      const { from, side } = origins[i]!;
      const was = division.cuts[i]!;
      const part = from < 0 ? division.whole : mostOf(was.part, splitting[from]!.sides[side]);
      if (splitting.some((one) => one.part === part)) return null;
      const sides = split(part, planes[i]!);
      if (sides.below.length !== was.cut.sides.below.length || sides.above.length !== was.cut.sides.above.length)
        return null;
      // most moves end here, and nothing else need be split or measured
      if ((['below', 'above'] as const).some((one) => isLast(i, one) && sides[one].some(isTooLarge))) return null;
      splitting.push({ part, sides });
    }
    const gone = new Set(splitting.map((one) => one.part));
    const leaves = splitting.flatMap(({ sides }) => [...sides.below, ...sides.above]).filter((leaf) => !gone.has(leaf));
    if (leaves.some(isTooLarge)) return null;
    const cuts = splitting.map(({ part, sides }, i): PartCut => {
      const costMm = seamCost(task, gauge(part, planes[i]!)) + lopsidedOf(task, part, planes, i);
      return { part, cut: { plane: planes[i]!, costMm, expectedMm: 0, sides, pair: null } };
    });
    const again = divisionOf(task, division.whole, cuts, leaves);
    return { division: again, costMm: again.expectedMm - coplanarWorth(planes) };
  };
}

function originOf(division: Division, part: ProxyPart): Origin {
  for (let j = 0; j < division.cuts.length; j++) {
    const { sides } = division.cuts[j]!.cut;
    if (sides.below.includes(part)) return { from: j, side: 'below' };
    if (sides.above.includes(part)) return { from: j, side: 'above' };
  }
  return { from: -1, side: 'below' };
}

/** The part that shares most samples with an earlier one. */
function mostOf(was: ProxyPart, parts: readonly ProxyPart[]): ProxyPart {
  if (parts.length === 1) return parts[0]!;
  const own = new Set(was.samples);
  let best = parts[0]!;
  let most = -1;
  for (const part of parts) {
    let shared = 0;
    for (const s of part.samples) if (own.has(s)) shared++;
    if (shared > most) [best, most] = [part, shared];
  }
  return best;
}

/** Feather edges as the sweep counts them. */
function grazingOf(task: DivisionTask, part: ProxyPart, plane: Plane): number {
  const { middles: p, normals: n, areaMm2 } = task.samples;
  const [nx, ny, nz] = plane.normal;
  let grazingMm2 = 0;
  for (const s of part.samples) {
    const away = p[s * 3]! * nx + p[s * 3 + 1]! * ny + p[s * 3 + 2]! * nz - plane.offsetMm;
    if (away > task.leastSectionMm || away < -task.leastSectionMm) continue;
    const facing = n[s * 3]! * nx + n[s * 3 + 1]! * ny + n[s * 3 + 2]! * nz;
    if (facing > 0.9 || facing < -0.9) grazingMm2 += areaMm2[s]!;
  }
  return grazingMm2;
}

/** Broken symmetry; a plane whose mirror image is cut too breaks none. */
function lopsidedOf(task: DivisionTask, part: ProxyPart, planes: readonly Plane[], i: number): number {
  if (!isLopsided(task, part, planes[i]!)) return 0;
  const image = mirroredPlane(planes[i]!, task.mirrorX!);
  return planes.some((other) => isSame(other, image)) ? 0 : task.weights.lopsided;
}

function numCoplanar(planes: readonly Plane[]): number {
  return planes.filter((plane, i) =>
    planes.slice(0, i).some((other) => isSame(plane, other) || isSame(plane, turnedPlane(other))),
  ).length;
}

/** The same plane with its sides exchanged. */
export function turnedPlane({ normal: [x, y, z], offsetMm }: Plane): Plane {
  return { normal: [-x, -y, -z], offsetMm: -offsetMm };
}

function isSame(a: Plane, b: Plane): boolean {
  return a === b || (dot(a.normal, b.normal) > 1 - 1e-12 && Math.abs(a.offsetMm - b.offsetMm) < 1e-6);
}

/** Small steps of the plane, for when no valley near it leaves all parts fitting. */
function nearPlanes(planes: readonly Plane[], i: number): Plane[] {
  const plane = planes[i]!;
  return OFFSETS_MM.map((by) => ({ normal: plane.normal, offsetMm: plane.offsetMm + by }));
}

/** Planes of other cuts that lie near this one within the part it cuts. */
function snaps(planes: readonly Plane[], i: number, part: ProxyPart): Plane[] {
  const plane = planes[i]!;
  const out: Plane[] = [];
  for (const other of planes) {
    const cos = dot(other.normal, plane.normal);
    if (isSame(other, plane) || Math.abs(cos) < Math.cos((SNAP_DEG * Math.PI) / 180)) continue;
    const apart =
      dot(part.centreMm, other.normal) -
      other.offsetMm -
      Math.sign(cos) * (dot(part.centreMm, plane.normal) - plane.offsetMm);
    if (Math.abs(apart) > SNAP_MM) continue;
    // the sides of a cut keep their names: a plane the other way round is turned
    out.push(cos > 0 ? other : turnedPlane(other));
  }
  return out;
}

/** The plane made level or upright, where it nearly is, about the middle of its part; a plane nearly square to x stands in the plane of
 *  symmetry. A tilt that gains nothing is only harder to follow by hand. */
function straightened({ mirrorX }: DivisionTask, plane: Plane, part: ProxyPart): Plane[] {
  const out: Plane[] = [];
  for (const axis of [0, 1, 2] as const) {
    const along = plane.normal[axis];
    if (Math.abs(along) < Math.cos((STRAIGHT_DEG * Math.PI) / 180) || Math.abs(along) > 1 - 1e-12) continue;
    const sign = Math.sign(along);
    const normal: [number, number, number] = [0, 0, 0];
    normal[axis] = sign;
    const away = dot(part.centreMm, plane.normal) - plane.offsetMm;
    if (axis === 0 && mirrorX !== null) out.push({ normal, offsetMm: sign * mirrorX });
    out.push({ normal, offsetMm: dot(part.centreMm, normal) - away });
  }
  return out;
}

/** The plane put in place of the i-th, with those in one plane with it, and the mirror images of both; null where that would move a
 *  cut that is held. */
function movedTogether(task: DivisionTask, planes: readonly Plane[], i: number, plane: Plane): Plane[] | null {
  const was = planes[i]!;
  const { mirrorX } = task;
  const twin = mirrorX === null ? null : mirroredPlane(was, mirrorX);
  const image = mirrorX === null ? plane : mirroredPlane(plane, mirrorX);
  const moved = planes.map((own) => (isSame(own, was) ? plane : twin !== null && isSame(own, twin) ? image : own));
  return moved.slice(0, task.heldCuts).every((own, held) => own === planes[held]) ? moved : null;
}
