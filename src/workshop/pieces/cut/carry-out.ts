// Carries divisions out on the mesh until one comes out without fault; planes that leave crumbs are moved a little.
import { done, type Outcome, refuse } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import type { Plane } from '../../../geometry/plane.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { FittingPose } from '../../process/pieces-record.ts';
import { bedsOf, type DivideSettings } from '../asked/asked-at-size.ts';
import { machinesIn } from '../asked/asked-record.ts';
import { type AreaCrossed, clearCrossed, clearUnmet } from '../asked/asked-unmet.ts';
import { CRUMB_SHARE } from '../search/cut-costs.ts';
import type { Division } from '../search/division-search.ts';
import type { DivisionTask } from '../search/proxy-part.ts';
import { withPlaneMoved } from '../search/refine-division.ts';
import { type CutPart, type CutState, crumbsOf, cutByDivision, type MadeCut, matingNormals } from './exact-division.ts';
import { fittingPoses } from './fitting-pose.ts';
import { widthOf } from './piece-measures.ts';

/** Divisions carried out before one with faults is mended. */
const MOST_TRIED = 5;
/** How far a plane that leaves a crumb is moved, in turn. */
const NUDGES_MM = [1.5, -1.5, 4, -4, 7, -7] as const;

export interface Tried {
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

/** Carries divisions out in turn until one comes out without fault: that one alone, or all without crumbs
 *  that were tried, with the fewest faults first. Refuses PIECES_SLIVER when all leave crumbs, and
 *  PIECES_CLEAR_UNMET when all that leave none cross an area kept clear. */
export function triedInTurn(
  whole: MeshPart,
  task: DivisionTask,
  divisions: readonly Division[],
  by: { readonly settings: DivideSettings; readonly work: ChapterWork },
): Outcome<Tried[]> {
  const all: Tried[] = [];
  let fewest: { readonly division: Division; readonly crumbs: readonly CutPart[] } | null = null;
  let clearest: AreaCrossed | null = null;
  for (const division of divisions.slice(0, MOST_TRIED)) {
    const tried = withoutCrumbs(whole, task, division, by);
    if (!tried.ok) return tried;
    const { crumbs, division: made } = tried.value;
    if (crumbs.length > 0) {
      if (fewest === null || crumbs.length < fewest.crumbs.length) fewest = { division: made, crumbs };
      continue;
    }
    const crossed = clearCrossed(tried.value.parts, by.settings.demands.areas);
    if (crossed !== null) {
      if (clearest === null || crossed.mm < clearest.mm) clearest = crossed;
      continue;
    }
    if (tried.value.faults === 0) return done([tried.value]);
    all.push(tried.value);
  }
  if (all.length > 0) return done(all.sort((a, b) => a.faults - b.faults));
  if (clearest !== null) return clearUnmet(clearest, by.settings.scale);
  return fewest === null ? tooNarrow([], by.settings) : withCrumbs(whole, task, fewest, by);
}

/** A model of many small parts leaves small pieces wherever it is cut: the division with the fewest is taken, as long as none is
 *  narrower than allowed. Refuses PIECES_SLIVER. */
function withCrumbs(
  whole: MeshPart,
  task: DivisionTask,
  fewest: { readonly division: Division; readonly crumbs: readonly CutPart[] },
  by: { readonly settings: DivideSettings; readonly work: ChapterWork },
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
  by: { readonly settings: DivideSettings; readonly work: ChapterWork },
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

export function tooNarrow(crumbs: readonly CutPart[], settings: DivideSettings): Outcome<never> {
  const widths = crumbs.map((one) => widthOf(one.part.mesh).toFixed(1)).join(', ');
  return refuse(
    'PIECES_SLIVER',
    `Every division found leaves a piece under ${100 * CRUMB_SHARE} percent of the middle one or narrower than ${settings.leastSectionMm} mm (${widths} mm wide).`,
  );
}

function tryDivision(
  whole: MeshPart,
  division: Division,
  samples: SurfaceSamples,
  by: {
    readonly settings: DivideSettings;
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

export function posesOf(
  one: CutPart,
  cuts: readonly MadeCut[],
  by: { readonly settings: DivideSettings; readonly work: ChapterWork },
): FittingPose[] {
  return fittingPoses(one.part.mesh, partOfWork(by.work, 0.9, 1), {
    ...by.settings,
    beds: bedsOf(by.settings.beds, machinesIn(one, cuts, by.settings.demands.machines)),
    matingFaces: matingNormals(one.path, cuts),
  });
}
