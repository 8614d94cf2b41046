// What goes with the hours and grams of each print: what was estimated before measured prints corrected it, and the plus-minus; alone and together.
import type { PrintingMachine } from '../process/machine.ts';
import { TIME_PARTS, type TimePart } from '../process/measured-print.ts';
import type { Estimate, LearntMachine, PrintingRecord } from '../process/printing-record.ts';
import { learnFrom, plusMinusFactor, plusMinusG, plusMinusGrams, plusMinusS } from './learnt-prints.ts';
import type { PosedPrint } from './pose-choice.ts';

export function estimateOf({ machine, time, material }: Pick<PosedPrint, 'machine' | 'time' | 'material'>): Estimate {
  const learnt = learnFrom(machine.measured);
  const g = (material.filamentG + material.supportG) / learnt.gramsFactor;
  return {
    estimated: { parts: time.parts, g },
    plusMinusS: plusMinusS(learnt, [time.parts]),
    plusMinusG: plusMinusG(learnt, [g]),
  };
}

/** Of all prints together. Those of one machine err together by their joint spread; machines are taken to err alike, on the wide side, because nobody
 *  has measured whether they do. */
export function togetherOf(
  prints: readonly (Estimate & { readonly machine: string })[],
  machines: readonly PrintingMachine[],
): Pick<PrintingRecord['totals'], 'plusMinusS' | 'plusMinusG'> {
  const of = machines.map(({ id, measured }) => ({
    learnt: learnFrom(measured),
    own: prints.filter(({ machine }) => machine === id).map(({ estimated }) => estimated),
  }));
  const sum = (each: (one: (typeof of)[number]) => number): number => of.reduce((total, one) => total + each(one), 0);
  return {
    plusMinusS: sum(({ learnt, own }) =>
      plusMinusS(
        learnt,
        own.map(({ parts }) => parts),
      ),
    ),
    plusMinusG: sum(({ learnt, own }) =>
      plusMinusG(
        learnt,
        own.map(({ g }) => g),
      ),
    ),
  };
}

/** What is told of each machine. */
export function learntMachines(machines: readonly PrintingMachine[]): readonly LearntMachine[] {
  return machines.map(({ id, measured }) => {
    const learnt = learnFrom(measured);
    const factors = TIME_PARTS.map((part) => [
      part,
      { factor: learnt.factors[part], plusMinus: plusMinusFactor(learnt, part) },
    ]);
    return {
      machine: id,
      prints: learnt.prints,
      weighed: learnt.weighed,
      factors: Object.fromEntries(factors) as Record<TimePart, { factor: number; plusMinus: number }>,
      grams: { factor: learnt.gramsFactor, plusMinus: plusMinusGrams(learnt) },
    };
  });
}
