// The papers of a ladder in their order, and whether each step removes the scratches of the one before.
import { invariant } from '../../base/invariant.ts';
import { GRITS, type Grit } from '../facts/abrasives.ts';

export interface LadderStep {
  readonly from: number;
  readonly to: number;
  /** Median grain of the coarser over that of the finer. */
  readonly ratio: number;
}

/** Every step of the ladder on which the grain shrinks more than `widest` times, so that the finer paper cannot take out the scratches of the coarser in a reasonable
 *  time, or that leads back. Grades by their number after P; each must be in GRITS. */
export function badSteps(grades: readonly number[], widest: number): readonly LadderStep[] {
  const steps = grades.slice(1).map((to, i): LadderStep => {
    const from = grades[i]!;
    return { from, to, ratio: gritOf(from).medianUm / gritOf(to).medianUm };
  });
  return steps.filter(({ ratio }) => ratio > widest || ratio <= 1);
}

export function gritOf(grade: number): Grit {
  const grit = GRITS.find((one) => one.grade === grade);
  invariant(grit !== undefined, `P${grade} is a paper of the table`);
  return grit;
}
