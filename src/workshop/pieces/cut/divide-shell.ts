// From a shell that does not fit to parts that do: search on samples, cut the mesh, check, and search again where it failed.
import { done, type Outcome, refuse } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import { evenDirections } from '../../../geometry/half-sphere-directions.ts';
import type { Plane } from '../../../geometry/plane.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import type { SurfaceSamples } from '../../../geometry/surface-patches.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { FittingPose, PiecesRecord, ProposalName } from '../../process/pieces-record.ts';
import type { DivideSettings } from '../asked/asked-at-size.ts';
import { machineUnmet } from '../asked/asked-unmet.ts';
import { heldStart } from '../asked/held-start.ts';
import { bowSeams } from '../bow/bow-seams.ts';
import type { SeamPrice } from '../price/seam-price.ts';
import { type Division, searchDivisions } from '../search/division-search.ts';
import { type FoundDivisions, findDivisions } from '../search/find-divisions.ts';
import { PROPOSAL_NAMES, weightsFor } from '../search/proposal-aims.ts';
import type { DivisionTask } from '../search/proxy-part.ts';
import { measuredDivision } from '../search/refine-division.ts';
import { sampledShell, taskOf } from '../search/shell-task.ts';
import { carriedEstimate, type DivisionEstimate } from './carried-estimate.ts';
import { posesOf, type Tried, tooNarrow, triedInTurn } from './carry-out.ts';
import { type CutPart, type CutState, crumbsOf, cutByDivision, isSamePlane, type MadeCut } from './exact-division.ts';

/** A division carried out. */
export interface CarriedOut extends DivisionEstimate {
  readonly parts: readonly CutPart[];
  readonly cuts: readonly MadeCut[];
  /** Per part, best first. */
  readonly poses: readonly (readonly FittingPose[])[];
}

export interface Divided extends CarriedOut {
  readonly price: SeamPrice;
  /** All in flat planes; two names may share one division. */
  readonly proposals: Readonly<Record<ProposalName, CarriedOut>>;
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
  const start = heldStart(whole, free, { settings, work });
  if (!start.ok) return start;
  const task = { ...free, heldCuts: start.value.cuts.length };
  const found = findDivisions(task, partOfWork(work, 0.25, 0.65), start.value);
  if (found.best[settings.proposal].length === 0)
    return machineUnmet(task, start.value, { settings, work }) ?? tooMany(settings, found.mostSeen);
  const carried = carriedProposals(whole, { task, symmetry, found }, settings, partOfWork(work, 0.65, 0.95));
  if (!carried.ok) return carried;
  const { division, ...chosen } = carried.value[settings.proposal];
  const about = { shell: sampled.price, mirrorX: task.mirrorX, settings, work: partOfWork(work, 0.95, 1) };
  const bowed = bowSeams(whole, chosen, about);
  if (!bowed.ok) return bowed;
  return done({
    ...chosen,
    ...bowed.value,
    price: sampled.price,
    proposals: carried.value,
    search: { planesTried: found.planesTried, divisions: found.divisions, cost: division.expectedMm },
  });
}

interface CarriedDivision extends CarriedOut {
  readonly division: Division;
}

/** Carries out the best division for each proposal, whichever is asked for. Of all that were carried out each proposal gets the
 *  one that is best by its own weights; one that cannot be carried out is left out as long as there is another.
 *  Refuses what the one asked for refuses, where none can be. */
function carriedProposals(
  whole: MeshPart,
  about: { readonly task: DivisionTask; readonly symmetry: Plane | null; readonly found: FoundDivisions },
  settings: DivideSettings,
  work: ChapterWork,
): Outcome<Record<ProposalName, CarriedDivision>> {
  const { task, symmetry, found } = about;
  const carried: CarriedDivision[] = [];
  let refused: Outcome<never> | null = null;
  for (const [index, name] of PROPOSAL_NAMES.entries()) {
    const part = partOfWork(work, index / PROPOSAL_NAMES.length, (index + 1) / PROPOSAL_NAMES.length);
    if (carried.some((one) => isSameCuts(one.division, found.best[name][0]!))) continue;
    const made = carriedOut(whole, { task, symmetry, divisions: found.best[name] }, settings, part);
    if (made.ok) carried.push(made.value);
    else if (refused === null || name === settings.proposal) refused = made;
  }
  if (carried.length === 0 && refused !== null) return refused;
  const bestBy = (name: ProposalName) => {
    const aimed = { ...task, weights: weightsFor(name, task.weights) };
    const costs = carried.map(
      // pieces that had to be cut again after all count as well
      (one) =>
        measuredDivision(aimed, one.division).expectedMm +
        aimed.weights.piece * (one.parts.length - one.division.leaves.length),
    );
    return carried[costs.indexOf(Math.min(...costs))]!;
  };
  return done({ fewest: bestBy('fewest'), hidden: bestBy('hidden'), quickest: bestBy('quickest') });
}

function isSameCuts(a: Division, b: Division): boolean {
  if (a.cuts.length !== b.cuts.length) return false;
  return b.cuts.every(({ cut }, i) => isSamePlane(a.cuts[i]!.cut.plane, cut.plane));
}

function carriedOut(
  whole: MeshPart,
  of: { readonly task: DivisionTask; readonly symmetry: Plane | null; readonly divisions: readonly Division[] },
  settings: DivideSettings,
  work: ChapterWork,
): Outcome<CarriedDivision> {
  const tried = triedInTurn(whole, of.task, of.divisions, { settings, work });
  if (!tried.ok) return tried;
  const settled = settleOneOf(tried.value, of.symmetry, settings, work);
  if (!settled.ok) return settled;
  const { parts, poses, state, division } = settled.value;
  if (parts.length > settings.mostPieces) return tooMany(settings, parts.length);
  const estimate = carriedEstimate(of.task, division, { parts, cuts: state.cuts });
  return done({ parts, poses, cuts: state.cuts, division, ...estimate });
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
    `The division for ${beds} mm, less ${settings.marginMm} mm margin, would take more than ${settings.mostPieces} pieces: ${seen < 2 ? 'no way to begin was found' : `with ${seen} not every piece fits yet`}.`,
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
