// The searches for divisions, and the settling of those found, as shares: none of them waits for another.
import type { Share, Work } from '../../../base/work.ts';
import { evenDirections } from '../../../geometry/half-sphere-directions.ts';
import type { ProposalName } from '../../process/pieces-record.ts';
import type { DivisionWeights } from '../pieces-settings.ts';
import type { Cut } from './candidate-cuts.ts';
import { type Division, type DivisionSearch, searchDivisions } from './division-search.ts';
import { searchParts } from './part-search.ts';
import { weightsFor } from './proposal-aims.ts';
import { type DivisionTask, MIRRORED_CUTS, type ProxyPart } from './proxy-part.ts';
import { type CutGauge, cutGauges, gaugeOf, refineDivision } from './refine-division.ts';

/** A division with what its cuts measure on the shell, to be weighed one way or another. */
export interface GaugedDivision {
  readonly division: Division;
  readonly gauges: readonly CutGauge[];
}

/** What a share has found, and the grams of support of its parts: they take long to work out, and are asked for again. */
interface Known {
  readonly supports: ReadonlyMap<ProxyPart, number>;
}

export interface IntentFound extends Known {
  /** Complete divisions, as they were found. */
  readonly complete: readonly GaugedDivision[];
  readonly planesTried: number;
  readonly divisions: number;
  readonly mostSeen: number;
}

/** any: all cuts as the maker weighs them; mirrored: those that keep a mirrored shell mirrored; hiding: part by part, for seams that hide. */
export type SearchIntent = 'any' | 'mirrored' | 'hiding';

export const searchShare: Share<{ readonly task: DivisionTask; readonly start: Division }, SearchIntent, IntentFound> =
  {
    name: 'search for divisions',
    run({ task, start }, intent, work) {
      const found = searched(task, intent, work, start);
      const gauges = new Map<Cut, CutGauge>();
      const gauge = (part: ProxyPart, cut: Cut): CutGauge => {
        const measured = gauges.get(cut) ?? gaugeOf(task, part, cut.plane);
        gauges.set(cut, measured);
        return measured;
      };
      return {
        complete: found.complete.map((division) => {
          work.tick(1);
          return { division, gauges: division.cuts.map(({ part, cut }) => gauge(part, cut)) };
        }),
        planesTried: found.planesTried,
        divisions: found.divisions,
        mostSeen: found.mostSeen,
        supports: supportsOf(task, found.complete),
      };
    },
  };

/** A division to be settled, and for which proposal. */
export interface ToSettle {
  readonly name: ProposalName;
  readonly from: Division;
}

export interface SettledDivision extends GaugedDivision, Known {}

export const settleShare: Share<DivisionTask, ToSettle, SettledDivision> = {
  name: 'settling of a division',
  run(task, { name, from }, work) {
    const division = refineDivision(aimedAt(task, name), from, work);
    return { division, gauges: cutGauges(task, division), supports: supportsOf(task, [division]) };
  },
};

export function aimedAt(task: DivisionTask, name: ProposalName): DivisionTask {
  return { ...task, weights: weightsFor(name, task.weights) };
}

function searched(task: DivisionTask, intent: SearchIntent, work: Work, start: Division): DivisionSearch {
  const directions = evenDirections(3);
  if (intent === 'hiding') {
    const sweeping = { ...task, weights: { ...raised(task.weights, 4), ...ONLY_SEAMS } };
    return searchParts(aimedAt(task, 'hidden'), sweeping, { directions, work }, start);
  }
  // folds are for hiding: the first search asks for little else than few pieces and quick prints
  const intended: DivisionTask =
    intent === 'any' ? { ...task, folds: [] } : { ...task, tries: MIRRORED_CUTS, weights: raised(task.weights, 3) };
  return searchDivisions(intended, directions, work, start);
}

/** With what is seen put first. The estimate of what is still to come drowns small differences between seams; raised, it does not. */
function raised(weights: DivisionWeights, seamTimes: number): DivisionWeights {
  return { ...weights, seam: seamTimes * weights.seam };
}

/** What is left out of account when planes are offered to hide seams: what a cut costs brings it back. */
const ONLY_SEAMS = { lopsided: 0, support: 0, hour: 0, chip: 100 } as const;

function supportsOf(task: DivisionTask, divisions: readonly Division[]): Map<ProxyPart, number> {
  const out = new Map<ProxyPart, number>();
  for (const { leaves } of divisions) {
    for (const leaf of leaves) {
      const grams = task.supports.get(leaf);
      if (grams !== undefined) out.set(leaf, grams);
    }
  }
  return out;
}
