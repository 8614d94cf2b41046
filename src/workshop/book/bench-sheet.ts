// A sheet for the bench: what a maker has beside the work, on one page.
import type { Block } from './book-text.ts';

/** halves: whether it stands in two halves side by side; a table of sentences is too wide for that. */
export interface BenchTable {
  readonly table: Block;
  readonly halves: 'never' | 'where long' | 'always';
}

export interface BenchSheet {
  /** "Assembly on one page". */
  readonly label: string;
  readonly title: string;
  /** Name of the drawing at its head. */
  readonly drawing: string;
  /** Beside the drawing. */
  readonly beside: readonly Block[];
  /** Under it. */
  readonly tables: readonly BenchTable[];
  readonly cautions: readonly Block[];
}
