// Finds the divisions worth carrying out: searches with several intents into one pool, and of it the best for each proposal, settled.
import { partOfWork, type Work } from '../../../base/work.ts';
import { evenDirections } from '../../../geometry/half-sphere-directions.ts';
import type { ProposalName } from '../../process/pieces-record.ts';
import type { DivisionWeights } from '../pieces-settings.ts';
import { areAlike } from './cut-costs.ts';
import { type Division, searchDivisions, wholeDivision } from './division-search.ts';
import { PROPOSAL_NAMES, weightsFor } from './proposal-aims.ts';
import { type DivisionTask, MIRRORED_CUTS } from './proxy-part.ts';
import { measuredDivision, refineDivision } from './refine-division.ts';

export interface FoundDivisions {
  /** Per proposal, the best first: settled ones, then others as they were found, for when those cannot be carried out. All are empty
   *  when no division was found. */
  readonly best: Readonly<Record<ProposalName, readonly Division[]>>;
  readonly planesTried: number;
  readonly divisions: number;
  /** Pieces of the most advanced division that was given up, for the refusal. */
  readonly mostSeen: number;
}

/** Divisions a proposal offers besides the settled ones. */
const SPARE = 3;
/** Of the proposal that is asked for so many divisions are settled, of the others one. */
const SETTLED_OF_CHOSEN = 2;

/** Three searches: among all cuts as the maker weighs them, among those that keep a mirrored shell mirrored, and among all cuts with
 *  hardly anything but seams weighed. Their complete divisions are measured on the shell itself and ranked for each proposal. `start`: cuts made already. */
export function findDivisions(
  task: DivisionTask,
  chosen: ProposalName,
  work: Work,
  start: Division = wholeDivision(task),
): FoundDivisions {
  const pool = searchedPool(task, partOfWork(work, 0, 0.7), start);
  const settling = partOfWork(work, 0.7, 1);
  const ranked = {
    fewest: differentOf(task, rankedFor(task, pool.complete, 'fewest')),
    hidden: differentOf(task, rankedFor(task, pool.complete, 'hidden')),
    quickest: differentOf(task, rankedFor(task, pool.complete, 'quickest')),
  };
  const most = SETTLED_OF_CHOSEN + PROPOSAL_NAMES.length - 1;
  const settled: Settled[] = [];
  for (const name of PROPOSAL_NAMES) {
    for (const from of ranked[name].slice(0, name === chosen ? SETTLED_OF_CHOSEN : 1)) {
      if (settled.some((one) => isSameDivision(task, one.from, from))) continue;
      const own = partOfWork(settling, settled.length / most, (settled.length + 1) / most);
      settled.push({ from, to: refineDivision(aimedAt(task, name), from, own) });
    }
  }
  const all = settled.map(({ to }) => to);
  const bestOf = (name: ProposalName) => [...rankedFor(task, all, name), ...ranked[name]];
  const best = { fewest: bestOf('fewest'), hidden: bestOf('hidden'), quickest: bestOf('quickest') };
  return { best, planesTried: pool.planesTried, divisions: pool.divisions, mostSeen: pool.mostSeen };
}

interface Pool {
  readonly complete: readonly Division[];
  readonly planesTried: number;
  readonly divisions: number;
  readonly mostSeen: number;
}

function searchedPool(task: DivisionTask, work: Work, start: Division): Pool {
  const directions = evenDirections(3);
  // folds are for hiding: the first search asks for little else than few pieces and quick prints
  const any = searchDivisions({ ...task, folds: [] }, directions, partOfWork(work, 0, 0.4), start);
  const fewest = Math.min(task.mostPieces - 1, ...any.complete.map((one) => one.leaves.length));
  const limited = { ...task, mostPieces: fewest + 1 };
  const searches = [any];
  if (task.mirrorX !== null) {
    const mirrored = { ...limited, tries: MIRRORED_CUTS, weights: raised(task.weights, 3) } as const;
    searches.push(searchDivisions(mirrored, directions, partOfWork(work, 0.4, 0.6), start));
  }
  const hiding = { ...limited, weights: { ...raised(task.weights, 4), ...ONLY_SEAMS } };
  searches.push(searchDivisions(hiding, directions, partOfWork(work, 0.6, 1), start));
  return {
    complete: searches.flatMap((one) => one.complete),
    planesTried: searches.reduce((sum, one) => sum + one.planesTried, 0),
    divisions: searches.reduce((sum, one) => sum + one.divisions, 0),
    mostSeen: Math.max(...searches.map((one) => one.mostSeen)),
  };
}

/** With what is seen put first. The estimate of what is still to come drowns small differences between seams; raised, it does not. */
function raised(weights: DivisionWeights, seamTimes: number): DivisionWeights {
  return { ...weights, seam: seamTimes * weights.seam };
}

/** What the search for hidden seams leaves out of account: the ranking brings it back. */
const ONLY_SEAMS = { lopsided: 0, support: 0, hour: 0, chip: 100 } as const;

/** A division as it was found, and settled for some proposal. */
interface Settled {
  readonly from: Division;
  readonly to: Division;
}

function aimedAt(task: DivisionTask, name: ProposalName): DivisionTask {
  return { ...task, weights: weightsFor(name, task.weights) };
}

/** Measured on the shell and weighed for a proposal, best first: what was settled for one may serve another better. */
function rankedFor(task: DivisionTask, divisions: readonly Division[], name: ProposalName): Division[] {
  const aimed = aimedAt(task, name);
  return divisions.map((one) => measuredDivision(aimed, one)).sort((a, b) => a.expectedMm - b.expectedMm);
}

function differentOf(task: DivisionTask, ranked: readonly Division[]): Division[] {
  const kept: Division[] = [];
  for (const one of ranked) {
    if (kept.length >= SPARE) break;
    if (!kept.some((known) => isSameDivision(task, known, one))) kept.push(one);
  }
  return kept;
}

/** The same but for what settling changes anyway. */
function isSameDivision(task: DivisionTask, a: Division, b: Division): boolean {
  if (a.cuts.length !== b.cuts.length || a.leaves.length !== b.leaves.length) return false;
  return b.cuts.every((one) => a.cuts.some((other) => areAlike(task, one.cut.plane, other.cut.plane, 0.2)));
}
