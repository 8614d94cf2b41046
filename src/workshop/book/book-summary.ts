// A book in a few numbers and two sentences: what the shelf shows of it and what two books are compared by.
import type { ChapterName, Decision } from './book-text.ts';

export interface BookSummary {
  readonly kind: 'book-summary';
  readonly version: 1;
  /** How the book stands as a whole. */
  readonly state: 'computed' | 'refused';
  /** The first chapter that was refused, or null. */
  readonly refusedAt: ChapterName | null;
  /** One sentence: "Four pieces, 58 h, 832 g.", or why it was refused. */
  readonly says: string;
  /** The next thing the maker has to decide, as a question with the path of its control; null when nothing is open. */
  readonly next: Decision | null;
  /** Only what is known; keys in the order in which they are read. */
  readonly numbers: BookNumbers;
}

export interface BookNumbers {
  readonly triangles?: number;
  readonly sizeMm?: readonly [number, number, number];
  readonly scale?: number;
  readonly browMm?: number | null;
  readonly pieces?: number;
  readonly seams?: number;
  readonly seamOuterMm?: number;
  readonly printS?: number;
  readonly longestPrintS?: number;
  readonly filamentG?: number;
  readonly supportG?: number;
  readonly filamentM?: number;
  readonly machines?: number;
  readonly cautions?: number;
}
