// From a shell that does not fit to parts that do: search on samples, cut the mesh, check, and search again where it failed.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import { evenDirections } from '../../geometry/even-directions.ts';
import type { PrintBox } from '../../geometry/laying-frames.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { MeshPart } from '../../geometry/plane-split.ts';
import {
  SAMPLE_DEFAULTS,
  type SurfaceSamples,
  surfaceSamples,
  withNeighbours,
} from '../../geometry/surface-samples.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { FittingPose, PiecesRecord } from '../process/pieces-record.ts';
import { CRUMB_SHARE } from './candidate-cuts.ts';
import { type Division, searchDivisions } from './division-search.ts';
import { type CutPart, type CutState, crumbsOf, cutByDivision, type MadeCut, matingNormals } from './exact-division.ts';
import { fittingPoses } from './fitting-pose.ts';
import { type OutsideView, outsideView } from './outside-view.ts';
import type { PiecesSettings } from './pieces-settings.ts';
import type { DivisionTask } from './proxy-part.ts';

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
/** How often a part that came out too large is searched again. */
const MOST_ROUNDS = 3;

/** Divides a shell that fits no bed whole. Refuses PIECES_TOO_MANY, and what exact cuts refuse. */
export function divideShell(
  whole: MeshPart,
  symmetry: Plane | null,
  settings: PiecesSettings,
  work: ChapterWork,
): Outcome<Divided> {
  const { samples, view } = sampledShell(whole.mesh, partOfWork(work, 0, 0.25), SAMPLE_DEFAULTS.aimNum);
  const task = taskOf(samples, view, symmetry, settings);
  const found = searchDivisions(task, evenDirections(3), partOfWork(work, 0.25, 0.7));
  if (found.complete.length === 0) return tooMany(settings, found.mostSeen);
  let best: Tried | null = null;
  for (const division of found.complete.slice(0, 3)) {
    const tried = tryDivision(whole, division, samples, {
      settings,
      work: partOfWork(work, 0.7, 0.95),
      mirrorX: task.mirrorX,
    });
    if (!tried.ok) return tried;
    if (best === null || tried.value.faults < best.faults) best = tried.value;
    if (best.faults === 0) break;
  }
  const settled = settle(best!, symmetry, settings, work);
  if (!settled.ok) return settled;
  const { parts, poses, state } = settled.value;
  if (parts.length > settings.mostPieces) return tooMany(settings, parts.length);
  return done({
    parts,
    cuts: state.cuts,
    poses,
    isOuterTri: outerTriangles(samples, view),
    search: { planesTried: found.planesTried, divisions: found.divisions, cost: found.complete[0]!.expectedMm },
  });
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
    leastSectionMm: settings.leastSectionMm,
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
  readonly parts: readonly CutPart[];
  readonly poses: readonly (readonly FittingPose[])[];
  readonly state: CutState;
  /** Parts that fit no bed, and crumbs. */
  readonly faults: number;
}

function tryDivision(
  whole: MeshPart,
  division: Division,
  samples: SurfaceSamples,
  by: { readonly settings: PiecesSettings; readonly work: ChapterWork; readonly mirrorX: number | null },
): Outcome<Tried> {
  const state: CutState = { shell: whole.mesh, mirrorX: by.mirrorX, cuts: [], moved: [] };
  const cut = cutByDivision({ part: whole, path: [] }, division, samples.triSample, { work: by.work, state });
  if (!cut.ok) return cut;
  const parts = cut.value;
  const poses = parts.map((one) => posesOf(one, state.cuts, by));
  const faults = poses.filter((list) => list.length === 0).length + crumbsOf(parts, CRUMB_SHARE);
  return done({ parts, poses, state, faults });
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
  return done({ parts, poses, state, faults: 0 });
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
