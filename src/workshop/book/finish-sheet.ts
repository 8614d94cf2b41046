// The finish on one page for the bench: how much it is, what to have ready, the steps by days.
import type { BenchSheet } from './bench-sheet.ts';
import type { Build } from './build-file.ts';
import type { BookResults } from './graph.ts';
import { besidesSentence, coatSentences, mixSentence, shoppingTable, stepTable } from './write-bench-list.ts';
import { seamSentence, surfaceCautions, targetSentence } from './write-surface.ts';

/** Null where nothing is seen, or it could not be reckoned. */
export function finishSheet(build: Build, { surface }: Pick<BookResults, 'surface'>): BenchSheet | null {
  if (surface.state !== 'computed' || surface.record.totals.areaMm2 === 0) return null;
  const { record } = surface;
  return {
    label: 'Finish on one page',
    title: build.name,
    drawing: 'filling',
    beside: [
      targetSentence(build, record),
      seamSentence(record),
      ...mixSentence(build, record),
      ...coatSentences(build, record),
      ...besidesSentence(record),
    ],
    tables: [
      { table: stepTable(record), halves: 'never' },
      { table: shoppingTable(record), halves: 'always' },
    ],
    cautions: surfaceCautions(record),
  };
}
