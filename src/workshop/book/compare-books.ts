// Two books of the same kind side by side: which choices differ, what follows from that, in words and numbers.
import type { BookSummary } from './book-summary.ts';
import type { Block, BookText } from './book-text.ts';
import type { Build } from './build-file.ts';

/** One side. `name` as the reader tells the two apart: "at 0.2 mm", "version 12", the title. */
export interface Side {
  readonly name: string;
  readonly build: Build;
  readonly text: BookText;
  readonly summary: BookSummary;
}

export interface Comparison {
  /** What differs and what follows, in sentences. */
  readonly words: readonly Block[];
  /** Choices that differ, then results that differ: what, left, right, difference. */
  readonly tables: readonly Block[];
  /** Paths of the build file at which the two differ, in the order of the book. */
  readonly paths: readonly string[];
}

export function compareBooks(left: Side, right: Side): Comparison {
  void left;
  void right;
  throw new Error('not written yet');
}
