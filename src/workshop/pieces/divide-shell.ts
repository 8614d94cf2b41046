// From a shell that does not fit to parts that do: search on samples, cut the mesh, check, and search again where it failed.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import { evenDirections } from '../../geometry/half-sphere-directions.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { MeshPart } from '../../geometry/plane-split.ts';
import type { SurfaceSamples } from '../../geometry/surface-patches.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { FittingPose, PiecesRecord } from '../process/pieces-record.ts';
import type { DivideSettings } from './asked-at-size.ts';
import { heldDivision } from './asked-search.ts';
import { heldUnmet, machineUnmet } from './asked-unmet.ts';
import { bowSeams } from './bow-seams.ts';
import { posesOf, type Tried, tooNarrow, triedInTurn } from './carry-out.ts';
import { searchDivisions } from './division-search.ts';
import { type CutPart, type CutState, crumbsOf, cutByDivision, type MadeCut } from './exact-division.ts';
import type { SeamPrice } from './seam-price.ts';
import { searchBothWays } from './search-both-ways.ts';
import { sampledShell, taskOf } from './shell-task.ts';

export interface Divided {
  readonly parts: readonly CutPart[];
  readonly cuts: readonly MadeCut[];
  /** Per part, best first. */
  readonly poses: readonly (readonly FittingPose[])[];
  readonly price: SeamPrice;
  readonly search: PiecesRecord['search'];
}

/** How often a part that came out too large is searched again. */
const MOST_ROUNDS = 3;

/** Divides a shell that fits no bed whole, or is to have a seam. Refuses PIECES_TOO_MANY, PIECES_SLIVER, what is asked and cannot be met
 *  (PIECES_SEAM_UNMET, PIECES_CLEAR_UNMET, PIECES_MACHINE_UNMET), and what exact cuts refuse. */
export function divideShell(
  whole: MeshPart,
  symmetry: Plane | null,
  settings: DivideSettings,
  work: ChapterWork,
): Outcome<Divided> {
  const sampled = sampledShell(whole.mesh, settings, partOfWork(work, 0, 0.25));
  const free = taskOf(sampled, symmetry, settings);
  const start = heldDivision(free, settings.demands.seams, settings.scale);
  if (!start.ok) return start;
  const unmet = heldUnmet(whole, free, { settings, work });
  if (unmet !== null) return unmet;
  const task = { ...free, heldCuts: start.value.cuts.length };
  const found = searchBothWays(task, partOfWork(work, 0.25, 0.6), start.value);
  if (found.complete.length === 0)
    return machineUnmet(task, start.value, { settings, work }) ?? tooMany(settings, found.mostSeen);
  const tried = triedInTurn(whole, task, found.complete, { settings, work: partOfWork(work, 0.6, 0.95) });
  if (!tried.ok) return tried;
  const settled = settleOneOf(tried.value, symmetry, settings, work);
  if (!settled.ok) return settled;
  const { parts, poses, state } = settled.value;
  if (parts.length > settings.mostPieces) return tooMany(settings, parts.length);
  const about = { shell: sampled.price, mirrorX: task.mirrorX, settings, work: partOfWork(work, 0.95, 1) };
  const bowed = bowSeams(whole, { parts, cuts: state.cuts, poses }, about);
  if (!bowed.ok) return bowed;
  return done({
    ...bowed.value,
    price: sampled.price,
    search: { planesTried: found.planesTried, divisions: found.divisions, cost: settled.value.expectedMm },
  });
}

/** The first that has no fault left once its parts that fit no bed are searched again. Refuses PIECES_SLIVER when all keep one. */
function settleOneOf(
  all: readonly Tried[],
  symmetry: Plane | null,
  settings: DivideSettings,
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

function tooMany(settings: DivideSettings, seen: number): Outcome<never> {
  const beds = settings.beds.map((bed) => bed.bedMm.join(' x ')).join(', ');
  return refuse(
    'PIECES_TOO_MANY',
    `The division for ${beds} mm, less ${settings.marginMm} mm margin, would take more than ${settings.mostPieces} pieces (${seen} reached).`,
  );
}

/** Searches parts that came out too large again, each on samples of its own. */
function settle(tried: Tried, symmetry: Plane | null, settings: DivideSettings, work: ChapterWork): Outcome<Tried> {
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
  by: { readonly settings: DivideSettings; readonly work: ChapterWork; readonly state: CutState },
): Outcome<CutPart[]> {
  const { settings, work, state } = by;
  const sampled = sampledShell(one.part.mesh, settings, work, { aimNum: 4000 });
  // a part that the search thought to fit must be cut after all: ask for a little more room than it did
  const task = taskOf(sampled, symmetry, { ...settings, marginMm: settings.marginMm + 1 });
  const found = searchDivisions(task, evenDirections(3), work);
  const division = found.complete[0];
  if (division === undefined || division.cuts.length === 0) return tooMany(settings, found.mostSeen);
  const triSample = sampleOfSource(one.part, sampled.samples);
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
