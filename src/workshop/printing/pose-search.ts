// Looks for the ways up in which a piece prints best: faces it may stand on, an even set of directions, and small steps from the best of them.
import { partOfWork, type Work } from '../../base/work.ts';
import { flatPlaces } from '../../geometry/flat-places.ts';
import { planeFrame } from '../../geometry/plane.ts';
import { spiralDirections } from '../../geometry/sphere-directions.ts';
import { dot, unit } from '../../geometry/three-by-three.ts';
import { roomOn, uprightStand } from '../../geometry/upright-stand.ts';
import { type Mesh, numTris, type Vec3 } from '../../mesh/mesh.ts';
import type { FittingPose } from '../process/pieces-record.ts';
import { type PoseBody, type PosedPrint, type PoseSettings, printsLying } from './pose-choice.ts';
import { type RoughBody, roughBody, roughScore } from './rough-pose.ts';

export interface SearchSettings extends PoseSettings {
  /** Kept free on every side of a bed. */
  readonly marginMm: number;
}

export interface PoseWishes {
  /** Convex hull of the piece; single precision will do. */
  readonly hull: Mesh;
  /** Poses handed on with the piece; at least one. Only their machines are thought of. */
  readonly handed: readonly FittingPose[];
  /** Outward normals of the piece's flat mating faces. */
  readonly matingFaces: readonly Vec3[];
  /** Whether this way (unit, model space) may be down. */
  readonly isAllowed: (down: Vec3) => boolean;
  /** Ways up that are to be measured whatever they promise. */
  readonly always: readonly Vec3[];
}

/** A way up, measured on each machine on which the piece fits so, best first; at least one. */
export type MeasuredWay = readonly [PosedPrint, ...PosedPrint[]];

/** Directions of the even set: about 9 degrees apart. */
const NUM_EVEN = 500;
/** Flat places of the hull that are looked at. */
const MOST_PLACES = 24;
/** Ways from which small steps are taken by the rough score, and how far these lie apart at least. */
const NUM_STARTS = 10;
const START_APART_DEG = 12;
const ROUGH_STEPS_DEG = [6, 3, 1.5] as const;
/** Ways measured in full: what a million triangles cost, some two seconds, and within these bounds. */
const FULL_EFFORT = 700_000;
const LEAST_FULL = 3;
const MOST_FULL = 16;
/** Sweeping one layer costs about as much as so many triangles. */
const TRIANGLES_A_LAYER = 60;
/** A way that promises to be so many times as dear as the best is not measured, but for the first three: the rough score is good to a tenth or two. */
const HOPELESS = 1.4;
/** The first ways measured in full lie so far apart, so that there are three to choose from; the others no nearer than the second. */
const FIRST_APART_DEG = 15;
const OTHERS_APART_DEG = 3;
const NUM_FIRST = 3;
/** Where measuring is cheap: small steps by the full score from the best ways, none that is so much dearer than the best. */
const NUM_FINE_STARTS = 3;
const FINE_START = 1.1;
const FINE_STEPS_DEG = [3, 1.2, 0.5] as const;
/** Directions nearer to a face the piece may stand on than this stand on it. */
const SAME_FACE_DEG = 0.2;

interface Way {
  readonly up: Vec3;
  readonly lies: FittingPose['lies'];
  /** Rests on a face: not one of a continuum. */
  readonly exact: boolean;
  readonly roughS: number;
}

/** Ways up measured in full, best first; those of `always` among them if the piece fits so. A way counts only where the piece fits a bed less the
 *  margin with it. Space: model, mm. Cost: rough scores of some 700 directions (0.1 ms each), then 4 to 24 full measures by the size of the piece,
 *  and where these are cheap some 60 more. Method: docs/methods/piece-poses.md. Weak: of a large piece few ways are measured in full, so the best of
 *  them rests on the rough score's order. */
export function searchPoses(body: PoseBody, wishes: PoseWishes, settings: SearchSettings, work: Work): MeasuredWay[] {
  const { hull } = wishes;
  const rough = roughBody(body, hull.positions, partOfWork(work, 0, 0.1));
  const faces = standingFaces(wishes);
  const look = (up: Vec3, exact: Omit<Way, 'up' | 'roughS'> | null): Way => ({
    up,
    lies: exact?.lies ?? 'hull face',
    exact: exact !== null,
    roughS: roughScore(rough, up, settings),
  });
  const ways = faces.map(({ up, lies }) => look(up, { lies, exact: true }));
  for (const way of evenWays(ways)) ways.push(look(way, null));
  work.tick(0.15, 'looking for poses');
  ways.push(...steppedWays(ways, rough, settings));
  const allowed = ways.filter(({ up }) => wishes.isAllowed([-up[0], -up[1], -up[2]]));
  const posesWith = posesOn(body, hull.positions, wishes.handed, settings);
  const chosen = fullWays(allowed, posesWith, { most: numFull(body, rough, settings), wishes });
  const measured: MeasuredWay[] = [];
  for (const [i, way] of chosen.entries()) {
    const part = partOfWork(work, 0.2 + (0.6 * i) / chosen.length, 0.2 + (0.6 * (i + 1)) / chosen.length);
    measure(way, part);
  }
  if (chosen.length >= MOST_FULL / 2) stepInFull(partOfWork(work, 0.8, 1));
  return measured.sort((one, other) => one[0].scoreS - other[0].scoreS);

  function measure({ up, lies }: Pick<Way, 'up' | 'lies'>, part: Work): MeasuredWay | null {
    const [best, ...others] = printsLying(body, posesWith(up, lies), settings, part);
    if (best === undefined) return null;
    const found: MeasuredWay = [best, ...others];
    measured.push(found);
    return found;
  }

  function isExact([{ pose }]: MeasuredWay): boolean {
    return faces.some(({ up }) => isNear(up, upOf(pose), SAME_FACE_DEG));
  }

  function stepInFull(part: Work): void {
    const starts = apart(
      [...measured].sort((one, other) => one[0].scoreS - other[0].scoreS),
      (one) => upOf(one[0].pose),
      { deg: START_APART_DEG, most: NUM_FINE_STARTS },
    );
    const near = starts.filter(([one]) => one.scoreS < FINE_START * starts[0]![0].scoreS);
    for (const [i, start] of near.entries()) {
      let best = start;
      for (const [k, deg] of FINE_STEPS_DEG.entries()) {
        const share = partOfWork(
          part,
          (i + k / FINE_STEPS_DEG.length) / near.length,
          (i + (k + 1) / FINE_STEPS_DEG.length) / near.length,
        );
        for (const [j, up] of ring(upOf(best[0].pose), deg).entries()) {
          if (!wishes.isAllowed([-up[0], -up[1], -up[2]])) continue;
          const found = measure({ up, lies: 'hull face' }, partOfWork(share, j / 6, (j + 1) / 6));
          if (found !== null && found[0].scoreS < best[0].scoreS) best = found;
        }
        // leaving a face on which it lies costs at once what it costs at all
        if (best === start && isExact(start)) break;
      }
    }
  }
}

export function upOf({ toLaid }: FittingPose): Vec3 {
  return [toLaid[2]!, toLaid[5]!, toLaid[8]!];
}

/** Handed poses, mating faces and flat places of the hull, each way up once. */
function standingFaces({
  hull,
  handed,
  matingFaces,
  always,
}: PoseWishes): { readonly up: Vec3; readonly lies: FittingPose['lies'] }[] {
  const out: { up: Vec3; lies: FittingPose['lies'] }[] = [];
  const add = (up: Vec3, lies: FittingPose['lies']): void => {
    if (!out.some((known) => isNear(known.up, up, SAME_FACE_DEG))) out.push({ up, lies });
  };
  for (const pose of handed) add(upOf(pose), pose.lies);
  for (const [x, y, z] of matingFaces) add([-x, -y, -z], 'mating face');
  for (const { normal } of flatPlaces(hull).slice(0, MOST_PLACES))
    add([-normal[0], -normal[1], -normal[2]], 'hull face');
  for (const up of always) add(up, 'hull face');
  return out;
}

function evenWays(known: readonly Way[]): Vec3[] {
  const even = spiralDirections(NUM_EVEN);
  const out: Vec3[] = [];
  for (let i = 0; i < NUM_EVEN; i++) {
    const up: Vec3 = [even[i * 3]!, even[i * 3 + 1]!, even[i * 3 + 2]!];
    if (!known.some((way) => isNear(way.up, up, 1))) out.push(up);
  }
  return out;
}

/** Small steps by the rough score from the best ways; each start's last place. */
function steppedWays(ways: readonly Way[], rough: RoughBody, settings: SearchSettings): Way[] {
  const starts = apart(
    [...ways].sort((one, other) => one.roughS - other.roughS),
    ({ up }) => up,
    { deg: START_APART_DEG, most: NUM_STARTS },
  );
  return starts.flatMap((start) => {
    let best = start;
    for (const deg of ROUGH_STEPS_DEG)
      for (const up of ring(best.up, deg)) {
        const roughS = roughScore(rough, up, settings);
        if (roughS < best.roughS) best = { up, lies: 'hull face', exact: false, roughS };
      }
    return best === start ? [] : [best];
  });
}

/** Six directions round one, `deg` from it. */
function ring(up: Vec3, deg: number): Vec3[] {
  const { u, v } = planeFrame(up);
  const far = Math.tan((deg * Math.PI) / 180);
  return Array.from({ length: 6 }, (_, i) => {
    const a = (i * Math.PI) / 3;
    const [x, y] = [far * Math.cos(a), far * Math.sin(a)];
    return unit([up[0] + x * u[0] + y * v[0], up[1] + x * u[1] + y * v[1], up[2] + x * u[2] + y * v[2]]);
  });
}

function isNear(one: Vec3, other: Vec3, deg: number): boolean {
  return dot(one, other) > Math.cos((deg * Math.PI) / 180);
}

/** The first of the list, and each further one that is so far from all before it. */
export function apart<T>(
  list: readonly T[],
  upOfOne: (one: T) => Vec3,
  by: { readonly deg: number; readonly most: number },
): T[] {
  const out: T[] = [];
  for (const one of list) {
    if (out.length === by.most) break;
    if (!out.some((known) => isNear(upOfOne(known), upOfOne(one), by.deg))) out.push(one);
  }
  return out;
}

type PosesWith = (up: Vec3, lies: FittingPose['lies']) => FittingPose[];

/** Poses with one way up on every machine of the handed ones on which the piece fits; handed ones as they are. */
function posesOn(
  { mesh }: PoseBody,
  outer: Float64Array,
  handed: readonly FittingPose[],
  { machines, marginMm }: SearchSettings,
): PosesWith {
  const own = machines.filter(({ id }) => handed.some(({ machine }) => machine === id));
  return (up, lies) =>
    own.flatMap(({ id, bedMm }): FittingPose[] => {
      const known = handed.find((pose) => pose.machine === id && dot(upOf(pose), up) > 1 - 1e-12);
      if (known !== undefined) return [known];
      const stand = uprightStand(mesh, outer, up, roomOn(bedMm, marginMm));
      return stand === null ? [] : [{ machine: id, ...stand, lies }];
    });
}

function numFull({ mesh }: PoseBody, { outer }: RoughBody, { print }: SearchSettings): number {
  let [low, high] = [Infinity, -Infinity];
  for (const value of outer) [low, high] = [Math.min(low, value), Math.max(high, value)];
  const effort = numTris(mesh) + (TRIANGLES_A_LAYER * (high - low)) / print.layerMm;
  return Math.max(LEAST_FULL, Math.min(MOST_FULL, Math.round(FULL_EFFORT / effort)));
}

/** Those to be measured in full: what must be, the handed one that promises most, then the best of all, the first three far apart. */
function fullWays(
  ways: readonly Way[],
  posesWith: PosesWith,
  by: { readonly most: number; readonly wishes: PoseWishes },
): Way[] {
  const { always, handed } = by.wishes;
  const sorted = [...ways].sort((one, other) => one.roughS - other.roughS);
  const handedUps = handed.map(upOf);
  const fits = (way: Way): boolean => posesWith(way.up, way.lies).length > 0;
  const out = sorted.filter((way) => always.some((up) => isNear(up, way.up, SAME_FACE_DEG)) && fits(way)).slice(0, 1);
  const take = (way: Way | undefined): void => {
    if (way !== undefined && !out.includes(way)) out.push(way);
  };
  take(sorted.find((way) => way.exact && handedUps.some((up) => isNear(up, way.up, 1e-4))));
  let far = 0;
  for (const way of sorted) {
    if (far === NUM_FIRST || out.length >= by.most) break;
    if (out.some((known) => isNear(known.up, way.up, FIRST_APART_DEG))) continue;
    if (!fits(way)) continue;
    take(way);
    far++;
  }
  const leastS = Math.min(...out.map(({ roughS }) => roughS));
  for (const way of sorted) {
    if (out.length >= by.most || way.roughS > HOPELESS * leastS) break;
    if (!way.exact && out.some((known) => isNear(known.up, way.up, OTHERS_APART_DEG))) continue;
    if (!out.includes(way) && fits(way)) take(way);
  }
  return out;
}
