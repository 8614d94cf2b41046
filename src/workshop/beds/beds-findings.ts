// What a maker should know before starting beds: long ones that take several pieces with them, and spools that run out at night.
import { type Finding, finding } from '../../base/findings.ts';
import type { BedLoad } from '../process/beds-record.ts';
import { hourOf } from '../process/hour-words.ts';

const LONG_BED_S = 40 * 3600;

/** `loads` in the order of their starts: the first is bed 1. Limits are common practice (docs/facts.md). */
export function bedsFindings(loads: readonly BedLoad[]): Finding[] {
  const found: Finding[] = [];
  for (const [index, load] of loads.entries()) {
    const bed = `Bed ${index + 1}`;
    const where = { path: `beds.${index + 1}` };
    const printS = load.endsS - load.startsS;
    if (load.places.length > 1 && printS > LONG_BED_S)
      found.push(
        finding(
          'BED_LONG',
          `${bed} prints ${load.places.length} pieces together for ${(printS / 3600).toFixed(0)} hours and is lost in ${(100 * load.failingShare).toFixed(0)} percent of tries, then with all of them. A wider gap, or the surest plan, parts them.`,
          { where, measured: printS / 3600, limit: LONG_BED_S / 3600, unit: 'h' },
        ),
      );
    for (const { atS, heightMm, awake } of load.spoolEnds) {
      if (awake) continue;
      found.push(
        finding(
          'SPOOL_ENDS_ASLEEP',
          `The spool under bed ${index + 1} runs out on ${hourOf(atS)}, ${heightMm.toFixed(0)} mm up, when nobody is awake to put on the next. Put a full one on before this bed starts, or see that the machine stops by itself and waits.`,
          { where, measured: heightMm, unit: 'mm' },
        ),
      );
    }
  }
  return found;
}
