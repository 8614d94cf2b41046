// Finds the divisions worth carrying out: searches with several intents into one pool, and of it the best for each proposal, settled.
import { partOfWork, type Work } from '../../base/work.ts';
import { evenDirections } from '../../geometry/half-sphere-directions.ts';
import type { ProposalName } from '../process/pieces-record.ts';
import { areAlike } from './cut-costs.ts';
import { type Division, searchDivisions, wholeDivision } from './division-search.ts';
import { weightsFor } from './proposal-aims.ts';
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

/** Three searches: among all cuts, among those that keep a mirrored shell mirrored, and among all cuts with what is seen put first.
 *  Their complete divisions are measured on the shell itself and ranked for each proposal. `start`: cuts made already. */
export function findDivisions(
  task: DivisionTask,
  chosen: ProposalName,
  work: Work,
  start: Division = wholeDivision(task),
): FoundDivisions {
  const pool = searchedPool(task, partOfWork(work, 0, 0.7), start);
  const settling = partOfWork(work, 0.7, 1);
  const bestOf = (name: ProposalName) => bestFor(task, pool.complete, { name, chosen, work: settling });
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
    const mirrored = { ...limited, tries: MIRRORED_CUTS } as const;
    searches.push(searchDivisions(mirrored, directions, partOfWork(work, 0.4, 0.6), start));
  }
  const hiding = { ...limited, weights: weightsFor('hidden', task.weights) };
  searches.push(searchDivisions(hiding, directions, partOfWork(work, 0.6, 1), start));
  return {
    complete: searches.flatMap((one) => one.complete),
    planesTried: searches.reduce((sum, one) => sum + one.planesTried, 0),
    divisions: searches.reduce((sum, one) => sum + one.divisions, 0),
    mostSeen: Math.max(...searches.map((one) => one.mostSeen)),
  };
}

function bestFor(
  task: DivisionTask,
  pool: readonly Division[],
  by: { readonly name: ProposalName; readonly chosen: ProposalName; readonly work: Work },
): Division[] {
  const aimed = { ...task, weights: weightsFor(by.name, task.weights) };
  const ranked = pool.map((one) => measuredDivision(aimed, one)).sort((a, b) => a.expectedMm - b.expectedMm);
  const different: Division[] = [];
  for (const one of ranked) {
    if (different.length >= SPARE) break;
    if (!different.some((known) => isSameDivision(task, known, one))) different.push(one);
  }
  const settled = different
    .slice(0, by.name === by.chosen ? SETTLED_OF_CHOSEN : 1)
    .map((one) => refineDivision(aimed, one, by.work))
    .sort((a, b) => a.expectedMm - b.expectedMm);
  return [...settled, ...different.filter((one) => !settled.includes(one))];
}

/** The same but for what settling changes anyway. */
function isSameDivision(task: DivisionTask, a: Division, b: Division): boolean {
  if (a.cuts.length !== b.cuts.length || a.leaves.length !== b.leaves.length) return false;
  return b.cuts.every((one) => a.cuts.some((other) => areAlike(task, one.cut.plane, other.cut.plane, 0.2)));
}
