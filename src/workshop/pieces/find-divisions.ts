// Finds the divisions worth carrying out: searches with several intents into one pool, and of it the best for each proposal, settled.
import { partOfWork, type Work } from '../../base/work.ts';
import { evenDirections } from '../../geometry/half-sphere-directions.ts';
import type { ProposalName } from '../process/pieces-record.ts';
import { areAlike } from './cut-costs.ts';
import { type Division, searchDivisions, wholeDivision } from './division-search.ts';
import type { DivisionWeights } from './pieces-settings.ts';
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
  const settledFor = (name: ProposalName) => bestFor(task, pool.complete, { name, chosen, work: settling });
  const found = { fewest: settledFor('fewest'), hidden: settledFor('hidden'), quickest: settledFor('quickest') };
  const settled = PROPOSAL_NAMES.flatMap((name) => found[name].settled);
  const bestOf = (name: ProposalName) => [...rankedFor(task, settled, name), ...found[name].others];
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
  const any = searchDivisions(task, directions, partOfWork(work, 0, 0.4), start);
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

function bestFor(
  task: DivisionTask,
  pool: readonly Division[],
  by: { readonly name: ProposalName; readonly chosen: ProposalName; readonly work: Work },
): { readonly settled: readonly Division[]; readonly others: readonly Division[] } {
  const aimed = { ...task, weights: weightsFor(by.name, task.weights) };
  const ranked = rankedFor(task, pool, by.name);
  const different: Division[] = [];
  for (const one of ranked) {
    if (different.length >= SPARE) break;
    if (!different.some((known) => isSameDivision(task, known, one))) different.push(one);
  }
  const num = by.name === by.chosen ? SETTLED_OF_CHOSEN : 1;
  const settled = different.slice(0, num).map((one) => refineDivision(aimed, one, by.work));
  return { settled, others: different.filter((one) => !settled.includes(one)) };
}

/** Measured on the shell and weighed for a proposal, best first: what was settled for one may serve another better. */
function rankedFor(task: DivisionTask, divisions: readonly Division[], name: ProposalName): Division[] {
  const aimed = { ...task, weights: weightsFor(name, task.weights) };
  return divisions.map((one) => measuredDivision(aimed, one)).sort((a, b) => a.expectedMm - b.expectedMm);
}

/** The same but for what settling changes anyway. */
function isSameDivision(task: DivisionTask, a: Division, b: Division): boolean {
  if (a.cuts.length !== b.cuts.length || a.leaves.length !== b.leaves.length) return false;
  return b.cuts.every((one) => a.cuts.some((other) => areAlike(task, one.cut.plane, other.cut.plane, 0.2)));
}
