// From a shell that does not fit to parts that do: search on samples, cut the mesh, check, and search again where it failed.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import { evenDirections } from '../../geometry/half-sphere-directions.ts';
import type { PrintBox } from '../../geometry/laying-frames.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { MeshPart } from '../../geometry/plane-split.ts';
import {
  SAMPLE_DEFAULTS,
  type SurfaceSamples,
  surfaceSamples,
  withNeighbours,
} from '../../geometry/surface-patches.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { FittingPose, PiecesRecord } from '../process/pieces-record.ts';
import { CRUMB_SHARE } from './candidate-cuts.ts';
import { type Division, type DivisionSearch, searchDivisions } from './division-search.ts';
import { type CutPart, type CutState, crumbsOf, cutByDivision, type MadeCut, matingNormals } from './exact-division.ts';
import { fittingPoses } from './fitting-pose.ts';
import { type OutsideView, outsideView } from './outside-view.ts';
import { widthOf } from './piece-measures.ts';
import type { PiecesSettings } from './pieces-settings.ts';
import { ANY_CUTS, type DivisionTask, MIRRORED_CUTS } from './proxy-part.ts';
import { refineDivision, withPlaneMoved } from './refine-division.ts';

export interface Divided {
  readonly parts: readonly CutPart[];
  readonly cuts: readonly MadeCut[];
  /** Per part, best first. */
  readonly poses: readonly (readonly FittingPose[])[];
  /** Per triangle of the shell, 1 on the outside. */
  readonly isOuterTri: Uint8Array;
  readonly search: PiecesRecord['search'];
}

/** Room left to what samples cannot know: about the sagitta of a spacing on a helmet's curvature. */
const SEARCH_SLACK_MM = 0.6;
/** Divisions carried out before one with faults is mended. */
const MOST_TRIED = 4;
/** How far a plane that leaves a crumb is moved, in turn. */
const NUDGES_MM = [1.5, -1.5, 4, -4, 7, -7] as const;
/** How often a part that came out too large is searched again. */
const MOST_ROUNDS = 3;

/** Divides a shell that fits no bed whole. Refuses PIECES_TOO_MANY, PIECES_SLIVER, and what exact cuts refuse. */
export function divideShell(
  whole: MeshPart,
  symmetry: Plane | null,
  settings: PiecesSettings,
  work: ChapterWork,
): Outcome<Divided> {
  const { samples, view } = sampledShell(whole.mesh, partOfWork(work, 0, 0.25), SAMPLE_DEFAULTS.aimNum);
  const task = taskOf(samples, view, symmetry, settings);
  const found = searchBothWays(task, partOfWork(work, 0.25, 0.6));
  if (found.complete.length === 0) return tooMany(settings, found.mostSeen);
  const tried = triedInTurn(whole, task, found.complete, { settings, work: partOfWork(work, 0.6, 0.95) });
  if (!tried.ok) return tried;
  const settled = settleOneOf(tried.value, symmetry, settings, work);
  if (!settled.ok) return settled;
  const { parts, poses, state } = settled.value;
  if (parts.length > settings.mostPieces) return tooMany(settings, parts.length);
  return done({
    parts,
    cuts: state.cuts,
    poses,
    isOuterTri: outerTriangles(samples, view),
    search: { planesTried: found.planesTried, divisions: found.divisions, cost: settled.value.expectedMm },
  });
}

/** Searches among all cuts and, on a mirrored shell, among those that keep it mirrored. Complete divisions with at most one piece
 *  more than the fewest, cheapest first: a mirrored one wins by what broken symmetry is charged. */
function searchBothWays(task: DivisionTask, work: ChapterWork): DivisionSearch {
  const directions = evenDirections(3);
  const any = searchDivisions(task, directions, partOfWork(work, 0, task.mirrorX === null ? 1 : 0.6));
  const fewestOfAny = Math.min(task.mostPieces - 1, ...any.complete.map((one) => one.leaves.length));
  const mirrored =
    task.mirrorX === null
      ? null
      : searchDivisions(
          { ...task, tries: MIRRORED_CUTS, mostPieces: fewestOfAny + 1 },
          directions,
          partOfWork(work, 0.6, 1),
        );
  const all = [...any.complete, ...(mirrored?.complete ?? [])];
  const fewest = Math.min(...all.map((one) => one.leaves.length));
  const complete = all.filter((one) => one.leaves.length <= fewest + 1).sort((a, b) => a.expectedMm - b.expectedMm);
  return {
    complete,
    planesTried: any.planesTried + (mirrored?.planesTried ?? 0),
    divisions: any.divisions + (mirrored?.divisions ?? 0),
    mostSeen: Math.max(any.mostSeen, mirrored?.mostSeen ?? 0),
  };
}

/** Carries divisions out, each settled and as it was found, until one comes out without fault: that one alone, or all without crumbs
 *  that were tried, with the fewest faults first. Refuses PIECES_SLIVER when all leave crumbs. */
function triedInTurn(
  whole: MeshPart,
  task: DivisionTask,
  divisions: readonly Division[],
  by: { readonly settings: PiecesSettings; readonly work: ChapterWork },
): Outcome<Tried[]> {
  const all: Tried[] = [];
  let fewest: { readonly division: Division; readonly crumbs: readonly CutPart[] } | null = null;
  for (const division of divisions.slice(0, MOST_TRIED)) {
    const refined = refineDivision(task, division, partOfWork(by.work, 0, 0.7));
    for (const one of refined === division ? [division] : [refined, division]) {
      const tried = withoutCrumbs(whole, task, one, { settings: by.settings, work: partOfWork(by.work, 0.7, 1) });
      if (!tried.ok) return tried;
      const { crumbs, division: made } = tried.value;
      if (crumbs.length > 0) {
        if (fewest === null || crumbs.length < fewest.crumbs.length) fewest = { division: made, crumbs };
        continue;
      }
      if (tried.value.faults === 0) return done([tried.value]);
      all.push(tried.value);
    }
  }
  if (all.length > 0) return done(all.sort((a, b) => a.faults - b.faults));
  return fewest === null ? tooNarrow([], by.settings) : withCrumbs(whole, task, fewest, by);
}

/** A model of many small parts leaves small pieces wherever it is cut: the division with the fewest is taken, as long as none is
 *  narrower than allowed. Refuses PIECES_SLIVER. */
function withCrumbs(
  whole: MeshPart,
  task: DivisionTask,
  fewest: { readonly division: Division; readonly crumbs: readonly CutPart[] },
  by: { readonly settings: PiecesSettings; readonly work: ChapterWork },
): Outcome<Tried[]> {
  const { leastSectionMm } = by.settings;
  if (fewest.crumbs.some((one) => widthOf(one.part.mesh) < leastSectionMm))
    return tooNarrow(fewest.crumbs, by.settings);
  const about = { ...by, mirrorX: task.mirrorX, crumbShare: 0 };
  const tried = tryDivision(whole, fewest.division, task.samples, about);
  return tried.ok ? done([tried.value]) : tried;
}

/** Carries a division out; where it leaves crumbs, the plane that made them is moved a little and it is carried out again. */
function withoutCrumbs(
  whole: MeshPart,
  task: DivisionTask,
  division: Division,
  by: { readonly settings: PiecesSettings; readonly work: ChapterWork },
): Outcome<Tried> {
  const about = { ...by, mirrorX: task.mirrorX, crumbShare: CRUMB_SHARE };
  let now = division;
  let tried = tryDivision(whole, division, task.samples, about);
  for (const byMm of NUDGES_MM) {
    if (!tried.ok || tried.value.crumbs.length === 0) return tried;
    for (const asked of planesOf(tried.value.crumbs[0]!, tried.value.state)) {
      const moved = withPlaneMoved(task, now, asked, byMm);
      if (moved === null) continue;
      const again = tryDivision(whole, moved, task.samples, about);
      if (!again.ok) return again;
      if (again.value.crumbs.length >= tried.value.crumbs.length) continue;
      now = moved;
      tried = again;
      break;
    }
  }
  return tried;
}

/** Planes of the cut faces of a part, but for those square to x that keep the shell mirrored. */
function planesOf({ part }: CutPart, state: CutState): Plane[] {
  const cuts = new Set<number>();
  for (const source of part.sourceTri) if (source < 0) cuts.add(-1 - source);
  return [...cuts]
    .map((cut) => state.cuts[cut]!.asked)
    .filter((plane) => state.mirrorX === null || Math.abs(plane.normal[0]) < 0.9999);
}

function tooNarrow(crumbs: readonly CutPart[], settings: PiecesSettings): Outcome<never> {
  const widths = crumbs.map((one) => widthOf(one.part.mesh).toFixed(1)).join(', ');
  return refuse(
    'PIECES_SLIVER',
    `Every division found leaves a piece under ${100 * CRUMB_SHARE} percent of the middle one or narrower than ${settings.leastSectionMm} mm (${widths} mm wide).`,
  );
}

/** The first that has no fault left once its parts that fit no bed are searched again. Refuses PIECES_SLIVER when all keep one. */
function settleOneOf(
  all: readonly Tried[],
  symmetry: Plane | null,
  settings: PiecesSettings,
  work: ChapterWork,
): Outcome<Tried> {
  let why: Outcome<Tried> | null = null;
  for (const tried of all) {
    const settled = tried.faults === 0 ? done(tried) : settle(tried, symmetry, settings, work);
    if (!settled.ok) {
      why ??= settled;
      continue;
    }
    const crumbs = crumbsOf(settled.value.parts, settled.value.crumbShare, settings.leastSectionMm);
    if (crumbs.length === 0) return settled;
    why = tooNarrow(crumbs, settings);
  }
  return why!;
}

function sampledShell(
  mesh: Mesh,
  work: ChapterWork,
  aimNum: number,
): { readonly samples: SurfaceSamples; readonly view: OutsideView } {
  const bare = surfaceSamples(mesh, partOfWork(work, 0, 0.2), { aimNum });
  const view = outsideView(mesh, bare, partOfWork(work, 0.2, 1));
  return { samples: withNeighbours(bare, view.acrossWall), view };
}

function taskOf(
  samples: SurfaceSamples,
  view: OutsideView,
  symmetry: Plane | null,
  settings: PiecesSettings,
): DivisionTask {
  const { hidden } = settings.weights;
  return {
    samples,
    weight: view.seen.map((seen) => hidden + (1 - hidden) * seen),
    boxes: settings.beds.map((bed) => boxOf(bed.bedMm, settings.marginMm)),
    weights: settings.weights,
    tries: ANY_CUTS,
    supports: new Map(),
    leastSectionMm: Math.max(1, settings.leastSectionMm),
    beamWidth: settings.beamWidth,
    mostPieces: settings.mostPieces,
    mirrorX: symmetry !== null && Math.abs(symmetry.normal[0]) > 0.999 ? symmetry.offsetMm / symmetry.normal[0] : null,
    apartMm: 0.1 * Math.max(...settings.beds.map((bed) => Math.hypot(...bed.bedMm))),
  };
}

function boxOf(bedMm: Vec3, marginMm: number): PrintBox {
  return {
    widthMm: bedMm[0] - 2 * marginMm - SEARCH_SLACK_MM,
    depthMm: bedMm[1] - 2 * marginMm - SEARCH_SLACK_MM,
    heightMm: bedMm[2] - marginMm - SEARCH_SLACK_MM,
  };
}

function tooMany(settings: PiecesSettings, seen: number): Outcome<never> {
  const beds = settings.beds.map((bed) => bed.bedMm.join(' x ')).join(', ');
  return refuse(
    'PIECES_TOO_MANY',
    `The division for ${beds} mm, less ${settings.marginMm} mm margin, would take more than ${settings.mostPieces} pieces (${seen} reached).`,
  );
}

interface Tried {
  readonly division: Division;
  /** Pieces under this share of the middle one count as crumbs. */
  readonly crumbShare: number;
  readonly parts: readonly CutPart[];
  readonly poses: readonly (readonly FittingPose[])[];
  readonly state: CutState;
  /** What the division was thought to cost. */
  readonly expectedMm: number;
  /** Crumbs and slivers; when there are any, poses are not looked for. */
  readonly crumbs: readonly CutPart[];
  /** Parts that fit no bed. */
  readonly faults: number;
}

function tryDivision(
  whole: MeshPart,
  division: Division,
  samples: SurfaceSamples,
  by: {
    readonly settings: PiecesSettings;
    readonly work: ChapterWork;
    readonly mirrorX: number | null;
    readonly crumbShare: number;
  },
): Outcome<Tried> {
  const state: CutState = { shell: whole.mesh, mirrorX: by.mirrorX, cuts: [], moved: [] };
  const cut = cutByDivision({ part: whole, path: [] }, division, samples.triSample, { work: by.work, state });
  if (!cut.ok) return cut;
  const parts = cut.value;
  const crumbs = crumbsOf(parts, by.crumbShare, by.settings.leastSectionMm);
  const poses = crumbs.length > 0 ? [] : parts.map((one) => posesOf(one, state.cuts, by));
  const faults = poses.filter((list) => list.length === 0).length;
  return done({
    division,
    crumbShare: by.crumbShare,
    parts,
    poses,
    state,
    crumbs,
    faults,
    expectedMm: division.expectedMm,
  });
}

function posesOf(
  one: CutPart,
  cuts: readonly MadeCut[],
  by: { readonly settings: PiecesSettings; readonly work: ChapterWork },
): FittingPose[] {
  return fittingPoses(one.part.mesh, partOfWork(by.work, 0.9, 1), {
    ...by.settings,
    matingFaces: matingNormals(one.path, cuts),
  });
}

/** Searches parts that came out too large again, each on samples of its own. */
function settle(tried: Tried, symmetry: Plane | null, settings: PiecesSettings, work: ChapterWork): Outcome<Tried> {
  let parts = [...tried.parts];
  let poses = [...tried.poses];
  const { state } = tried;
  for (let round = 0; round < MOST_ROUNDS && poses.some((list) => list.length === 0); round++) {
    const nextParts: CutPart[] = [];
    const nextPoses: (readonly FittingPose[])[] = [];
    for (let i = 0; i < parts.length; i++) {
      if (poses[i]!.length > 0) {
        nextParts.push(parts[i]!);
        nextPoses.push(poses[i]!);
        continue;
      }
      const again = searchAgain(parts[i]!, symmetry, { settings, work, state });
      if (!again.ok) return again;
      for (const part of again.value) {
        nextParts.push(part);
        nextPoses.push(posesOf(part, state.cuts, { settings, work }));
      }
    }
    parts = nextParts;
    poses = nextPoses;
  }
  if (poses.some((list) => list.length === 0)) return tooMany(settings, parts.length);
  return done({ ...tried, parts, poses, crumbs: [], faults: 0 });
}

function searchAgain(
  one: CutPart,
  symmetry: Plane | null,
  by: { readonly settings: PiecesSettings; readonly work: ChapterWork; readonly state: CutState },
): Outcome<CutPart[]> {
  const { settings, work, state } = by;
  const { samples, view } = sampledShell(one.part.mesh, work, 4000);
  // a part that the search thought to fit must be cut after all: ask for a little more room than it did
  const task = taskOf(samples, view, symmetry, { ...settings, marginMm: settings.marginMm + 1 });
  const found = searchDivisions(task, evenDirections(3), work);
  const division = found.complete[0];
  if (division === undefined || division.cuts.length === 0) return tooMany(settings, found.mostSeen);
  const triSample = sampleOfSource(one.part, samples);
  return cutByDivision({ part: one.part, path: one.path }, division, triSample, { work, state });
}

/** Samples of a part are of its own triangles; cut parts know those of the shell. */
function sampleOfSource(part: MeshPart, samples: SurfaceSamples): Int32Array {
  let most = 0;
  for (const source of part.sourceTri) if (source > most) most = source;
  const out = new Int32Array(most + 1);
  part.sourceTri.forEach((source, tri) => {
    if (source >= 0) out[source] = samples.triSample[tri]!;
  });
  return out;
}

function outerTriangles(samples: SurfaceSamples, view: OutsideView): Uint8Array {
  return Uint8Array.from(samples.triSample, (sample) => view.isOuter[sample]!);
}
