// What a division that was carried out would take to print, told before anything is laid: enough to compare proposals by.
import { surfaceArea } from '../../../mesh/measure.ts';
import { roughPrintS } from '../../process/rough-print.ts';
import type { Division } from '../search/division-search.ts';
import type { DivisionTask, ProxyPart } from '../search/proxy-part.ts';
import { supportOf } from '../search/sample-support.ts';
import type { CutPart, MadeCut } from './exact-division.ts';
import { volumeOf } from './piece-measures.ts';

export interface DivisionEstimate {
  readonly supportG: number;
  readonly printS: number;
  readonly longestPrintS: number;
}

export const NO_ESTIMATE: DivisionEstimate = { supportG: 0, printS: 0, longestPrintS: 0 };

/** Areas and volumes are those of the pieces, mating faces included: of a solid model they are much of what prints. Support is that of the
 *  samples; where a part of the search became several pieces they share it. Cost: O(triangles of the pieces). */
export function carriedEstimate(
  task: DivisionTask,
  { leaves }: Division,
  { parts, cuts }: { readonly parts: readonly CutPart[]; readonly cuts: readonly MadeCut[] },
): DivisionEstimate {
  const leafOf = parts.map((one) => leaves.findIndex((leaf) => liesIn(one, leaf, cuts)));
  return parts
    .map(({ part }, i) => {
      const leaf = leafOf[i]!;
      const sharing = leafOf.filter((other) => other === leaf).length;
      const supportG = leaf < 0 ? 0 : supportOf(task, leaves[leaf]!) / sharing;
      const areaMm2 = surfaceArea(part.mesh);
      const printS = roughPrintS({ areaMm2, thickMm: volumeOf(part.mesh) / areaMm2, supportG });
      return { supportG, printS, longestPrintS: printS };
    })
    .reduce(togetherOf, NO_ESTIMATE);
}

/** Whether a piece lies on the side of every cut on which the part of the search does. */
function liesIn({ path }: CutPart, { bounds }: ProxyPart, cuts: readonly MadeCut[]): boolean {
  return bounds.every(({ plane, side }, i) => {
    const step = path[i];
    return step !== undefined && step.side === side && cuts[step.cut]!.asked === plane;
  });
}

export function togetherOf(a: DivisionEstimate, b: DivisionEstimate): DivisionEstimate {
  return {
    supportG: a.supportG + b.supportG,
    printS: a.printS + b.printS,
    longestPrintS: Math.max(a.longestPrintS, b.longestPrintS),
  };
}
