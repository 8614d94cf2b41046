// Finds the divisions worth carrying out: searches with several intents into one pool, and of it the best for each proposal, settled.
import { runShares } from '../../../base/shares.ts';
import { partOfWork, type Work } from '../../../base/work.ts';
import type { ProposalName } from '../../process/pieces-record.ts';
import { areAlike } from './cut-costs.ts';
import { type Division, wholeDivision } from './division-search.ts';
import { PROPOSAL_NAMES } from './proposal-aims.ts';
import type { DivisionTask, ProxyPart } from './proxy-part.ts';
import { weighedByGauges } from './refine-division.ts';
import {
  aimedAt,
  type GaugedDivision,
  type SearchIntent,
  searchShare,
  settleShare,
  type ToSettle,
} from './search-shares.ts';

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
/** So many divisions are settled for each proposal, whichever is asked for: what a comparison tells of one is what one gets by asking for
 *  it. The others are for the one that is asked for most: of its four best the one that settles best is often not the first. */
const SETTLED: Readonly<Record<ProposalName, number>> = { fewest: 1, hidden: 4, quickest: 1 };

/** Three searches side by side: among all cuts as the maker weighs them, among those that keep a mirrored shell mirrored, and part
 *  by part for hidden seams. Their complete divisions are measured on the shell itself and ranked for each proposal, the
 *  best are settled side by side. Same answer with a crew and without. `start`: cuts made already. */
export function findDivisions(task: DivisionTask, work: Work, start: Division = wholeDivision(task)): FoundDivisions {
  const pool = searchedPool(task, partOfWork(work, 0, 0.7), start);
  const ranked = {
    fewest: differentOf(task, rankedFor(task, pool.complete, 'fewest')),
    hidden: differentOf(task, rankedFor(task, pool.complete, 'hidden')),
    quickest: differentOf(task, rankedFor(task, pool.complete, 'quickest')),
  };
  const settled = runShares(partOfWork(work, 0.7, 1), settleShare, fresh(task), toSettle(task, ranked));
  for (const { supports } of settled) keepSupports(task, supports);
  const bestOf = (name: ProposalName) => [...rankedFor(task, settled, name), ...ranked[name]];
  const best = { fewest: bestOf('fewest'), hidden: bestOf('hidden'), quickest: bestOf('quickest') };
  return { best, planesTried: pool.planesTried, divisions: pool.divisions, mostSeen: pool.mostSeen };
}

interface Pool {
  readonly complete: readonly GaugedDivision[];
  readonly planesTried: number;
  readonly divisions: number;
  readonly mostSeen: number;
}

function searchedPool(task: DivisionTask, work: Work, start: Division): Pool {
  // the longest first: threads take them in turn
  const intents: readonly SearchIntent[] = task.mirrorX === null ? ['hiding', 'any'] : ['hiding', 'any', 'mirrored'];
  const searches = runShares(work, searchShare, { task: fresh(task), start }, intents);
  for (const { supports } of searches) keepSupports(task, supports);
  const complete = searches.flatMap((one) => one.complete);
  const fewest = Math.min(...complete.map((one) => one.division.leaves.length));
  return {
    complete: complete.filter((one) => one.division.leaves.length <= fewest + 1),
    planesTried: searches.reduce((sum, one) => sum + one.planesTried, 0),
    divisions: searches.reduce((sum, one) => sum + one.divisions, 0),
    mostSeen: Math.max(...searches.map((one) => one.mostSeen)),
  };
}

/** The task for a share: what others have found out about support they keep to themselves. */
function fresh(task: DivisionTask): DivisionTask {
  return { ...task, supports: new Map() };
}

function keepSupports({ supports }: DivisionTask, found: ReadonlyMap<ProxyPart, number>): void {
  for (const [part, grams] of found) supports.set(part, grams);
}

/** The best of each proposal; each division once. */
function toSettle(task: DivisionTask, ranked: Readonly<Record<ProposalName, readonly Division[]>>): ToSettle[] {
  const out: ToSettle[] = [];
  for (const name of PROPOSAL_NAMES) {
    for (const from of ranked[name].slice(0, SETTLED[name])) {
      if (!out.some((one) => isSameDivision(task, one.from, from))) out.push({ name, from });
    }
  }
  return out;
}

/** Measured on the shell and weighed for a proposal, best first: what was settled for one may serve another better. */
function rankedFor(task: DivisionTask, divisions: readonly GaugedDivision[], name: ProposalName): Division[] {
  const aimed = aimedAt(task, name);
  return divisions
    .map(({ division, gauges }) => weighedByGauges(aimed, division, gauges))
    .sort((a, b) => a.expectedMm - b.expectedMm);
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
