// What failing costs the prints of a book: how likely each is to fail, the hours and the filament that go with it, and what other numbers of prints would take.
import {
  bestLength,
  bestPrints,
  failingShare,
  failureRate,
  hoursInPrints,
  hoursToSuccess,
} from '../process/failure-risk.ts';
import type { PrintSettings } from '../process/print-settings.ts';
import type { Print, PrintingRecord, PrintRisk } from '../process/printing-record.ts';

/** Hands between two prints of a machine: taking off, cleaning the bed, starting. Common practice, no source. */
const HANDS_A_PRINT_H = 0.25;

/** `unsteady`: how much likelier than a squat print it fails (pose-choice). */
export function printRisk(
  { printS, filamentG, supportG }: Pick<Print, 'printS' | 'filamentG' | 'supportG'>,
  unsteady: number,
  print: PrintSettings,
): PrintRisk {
  const rate = failureRate(print, unsteady);
  const hours = printS / 3600;
  const expectedH = hoursToSuccess(hours, rate);
  return {
    failingShare: failingShare(hours, rate),
    expectedS: expectedH * 3600,
    lostG: hours > 0 ? ((filamentG + supportG) * (expectedH - hours)) / hours : 0,
  };
}

/** The work of these prints in as many, one fewer, one more, and the best number of even prints, each with its own start and hands; and the best length. */
export function otherDivisions(
  prints: readonly Print[],
  print: PrintSettings,
): Pick<PrintingRecord, 'divisions' | 'bestLengthS'> {
  const startH = prints.reduce((sum, { seconds }) => sum + seconds.startUp, 0) / prints.length / 3600;
  const workH = prints.reduce((sum, { printS, seconds }) => sum + printS - seconds.startUp, 0) / 3600;
  const [overheadH, rate] = [startH + HANDS_A_PRINT_H, failureRate(print, 0)];
  const own = prints.length;
  const numbers = new Set([own - 1, own, own + 1, bestPrints(workH, overheadH, rate)].filter((number) => number > 0));
  return {
    divisions: [...numbers]
      .sort((one, other) => one - other)
      .map((number) => ({ prints: number, expectedS: 3600 * hoursInPrints(workH, number, overheadH, rate) })),
    bestLengthS: 3600 * bestLength(overheadH, rate.hoursAFailure),
  };
}
