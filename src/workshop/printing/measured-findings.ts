// Measured prints that do not go with the others of their machine: told, never dropped.
import { type Finding, finding } from '../../base/findings.ts';
import { foretell, type LinearBelief } from '../../geometry/linear/linear-belief.ts';
import { studentWidth } from '../../geometry/linear/student-t.ts';
import type { PrintingMachine } from '../process/machine.ts';
import { type MeasuredPrint, sumOfParts } from '../process/measured-print.ts';
import { learnFrom, sharesOf } from './learnt-prints.ts';

/** A measured print that as few as one in a hundred would be as far off from what the others say. */
const ODD = 0.99;

/** Each print against what all others of its machine teach. Cost: the square of the number of prints, microseconds each. */
export function measuredFindings(machines: readonly PrintingMachine[]): readonly Finding[] {
  return machines.flatMap(({ measured, name }, index) => [
    ...measured.flatMap((print, at) => {
      const others = learnFrom(measured.filter((_, other) => other !== at));
      const path = `machines.${index}.measured.${at}`;
      return [...oddHours(print, others.hours, path), ...oddGrams(print, others.grams, path)];
    }),
    ...(learnFrom(measured).isContradicted
      ? [
          finding(
            'MEASURED_CONTRADICT',
            `The measured prints of the ${name} contradict each other: by them some of its work would take less than a quarter of what its figures say. What they teach is used only so far; look at each entry.`,
            { where: { path: `machines.${index}.measured` } },
          ),
        ]
      : []),
  ]);
}

function oddHours({ name, parts, tookS }: MeasuredPrint, belief: LinearBelief, path: string): readonly Finding[] {
  const whole = sumOfParts(parts);
  const { value, off } = expectedOf(belief, sharesOf(parts));
  const share = tookS / whole;
  if (Math.abs(share - value) <= off) return [];
  const limit = share > value ? value + off : value - off;
  return [
    finding(
      'MEASURED_ODD',
      `The print of ${name} took ${hours(tookS)}; by all else that is known of the machine it would have been ${hours(value * whole)}, give or take ${hours(off * whole)}. ${COUNTS}`,
      { where: { path: `${path}.tookS` }, measured: tookS / 3600, limit: (limit * whole) / 3600, unit: 'h' },
    ),
  ];
}

function oddGrams(
  { name, estimatedG, weighedG }: MeasuredPrint,
  belief: LinearBelief,
  path: string,
): readonly Finding[] {
  if (weighedG === null) return [];
  const { value, off } = expectedOf(belief, [1]);
  const share = weighedG / estimatedG;
  if (Math.abs(share - value) <= off) return [];
  const limit = share > value ? value + off : value - off;
  const grams = (g: number): string => `${g.toFixed(g < 10 ? 1 : 0)} g`;
  return [
    finding(
      'MEASURED_ODD',
      `The print of ${name} weighed ${grams(weighedG)}; by all else that is known of the machine it would have been ${grams(value * estimatedG)}, give or take ${grams(off * estimatedG)}. ${COUNTS}`,
      { where: { path: `${path}.weighedG` }, measured: weighedG, limit: limit * estimatedG, unit: 'g' },
    ),
  ];
}

const COUNTS =
  'It counts all the same: look whether the entry is right and whether it was printed with these settings, and forget it if not.';

function expectedOf(belief: LinearBelief, row: readonly number[]): { readonly value: number; readonly off: number } {
  const { value, scale, freedom } = foretell(belief, row, 1);
  return { value, off: scale * studentWidth(ODD, freedom) };
}

function hours(seconds: number): string {
  return seconds < 5400 ? `${(seconds / 60).toFixed(0)} min` : `${(seconds / 3600).toFixed(1)} h`;
}
