// What a division would take to print, told before anything is laid: enough to compare proposals by.
import { roughPrintS } from '../../process/rough-print.ts';
import type { Division } from './division-search.ts';
import type { DivisionTask } from './proxy-part.ts';
import { supportOf } from './sample-support.ts';

export interface DivisionEstimate {
  readonly supportG: number;
  readonly printS: number;
  readonly longestPrintS: number;
}

export const NO_ESTIMATE: DivisionEstimate = { supportG: 0, printS: 0, longestPrintS: 0 };

export function divisionEstimate(task: DivisionTask, { leaves }: Division): DivisionEstimate {
  const { thickMm } = task;
  return leaves
    .map((leaf) => ({ areaMm2: leaf.areaMm2, thickMm, supportG: supportOf(task, leaf) }))
    .map((piece) => ({ supportG: piece.supportG, printS: roughPrintS(piece) }))
    .map(({ supportG, printS }) => ({ supportG, printS, longestPrintS: printS }))
    .reduce(togetherOf, NO_ESTIMATE);
}

export function togetherOf(a: DivisionEstimate, b: DivisionEstimate): DivisionEstimate {
  return {
    supportG: a.supportG + b.supportG,
    printS: a.printS + b.printS,
    longestPrintS: Math.max(a.longestPrintS, b.longestPrintS),
  };
}
