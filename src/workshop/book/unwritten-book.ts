// The book of a build of which nothing has been computed: it knows every choice that does not depend on a result, and its words.
import { type BookText, CHAPTER_NAMES, type ChapterName } from './book-text.ts';
import type { Build } from './build-file.ts';
import type { BookResults, ChapterResult } from './graph.ts';
import { writeBook } from './write-book.ts';

export function unwrittenBook(build: Build): BookText {
  const waiting = (name: ChapterName): readonly [ChapterName, ChapterResult] => [
    name,
    { state: 'waiting', fingerprint: '', on: 'model' },
  ];
  const results = Object.fromEntries(CHAPTER_NAMES.map(waiting)) as unknown as BookResults;
  return writeBook(build, results, { findings: [], unit: 'millimetres' });
}
