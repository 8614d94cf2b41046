// Two books of the same kind side by side: which choices differ, what follows from that, in words and numbers.
import { listed } from '../../base/listed.ts';
import type { BookSummary } from './book-summary.ts';
import type { Block, BookText, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { type ChoiceRow, differentChoices } from './compare-choices.ts';
import { differenceWords, resultTable } from './compare-results.ts';
import { countWord, say, term, text } from './spans.ts';

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

/** The two in words and tables. Any pair may be compared: books of different models, and books of which one was refused, too.
 *  Differences are those of the second against the first. */
export function compareBooks(left: Side, right: Side): Comparison {
  const choices = differentChoices(left, right);
  const results = resultTable(left.summary.numbers, right.summary.numbers, [left.name, right.name]);
  return {
    words: [...modelWords(left, right), ...choiceWords(left, right, choices), ...resultWords(left, right, results)],
    tables: [
      ...(choices.length === 0 ? [] : [choiceTable(choices, left, right)]),
      ...(results === null ? [] : [results]),
    ],
    paths: [...new Set(choices.map(({ path }) => path))],
  };
}

/** Choices named in the sentence; more than this are left to the table. */
const MOST_NAMED = 4;

function modelWords(left: Side, right: Side): readonly Block[] {
  if (!differentModels(left, right)) return [];
  const [one, other] = [left.build.model.file, right.build.model.file];
  return [
    one === other
      ? say('These are books of two different models, whose files are both called ', term(one), '.')
      : say('These are books of two different models, ', term(one), ' and ', term(other), '.'),
  ];
}

function choiceWords(left: Side, right: Side, choices: readonly ChoiceRow[]): readonly Block[] {
  if (choices.length === 0)
    return [
      say(
        differentModels(left, right)
          ? 'All choices are the same.'
          : 'Both are made of the same model and the same choices.',
      ),
    ];
  const one = choices.length === 1;
  const count = countWord(choices.length);
  const differ = `${count[0]!.toUpperCase()}${count.slice(1)} choice${one ? ' differs' : 's differ'}`;
  if (choices.length > MOST_NAMED) return [say(`${differ}; the table has them all.`)];
  return [say(`${differ}: ${listed(choices.map(({ what }) => `${what[0]!.toLowerCase()}${what.slice(1)}`))}.`)];
}

function resultWords(left: Side, right: Side, results: Block | null): readonly Block[] {
  const stopped = [...stoppedWords('The first', left), ...stoppedWords('The second', right)];
  const words = differenceWords(left.summary.numbers, right.summary.numbers);
  if (words !== null) return [...stopped, say(...named('The second', right), ' ', ...words, '.')];
  if (stopped.length > 0) return stopped;
  return [
    say(
      results === null
        ? 'Nothing that was computed differs.'
        : 'Of hours, material, pieces and seams nothing differs; the table has the rest.',
    ),
  ];
}

/** Where a book stopped and why; its chapters after that have no numbers. */
function stoppedWords(which: string, { name, summary, text }: Side): readonly Block[] {
  if (summary.refusedAt === null) return [];
  const title = text.chapters.find((chapter) => chapter.name === summary.refusedAt)?.title ?? summary.refusedAt;
  return [say(...named(which, { name }), ' stops at ', term(title), `: ${lowerFirst(summary.says)}`)];
}

/** "The second, at 0.28 mm,"; a name that says which it is already stands alone. */
function named(which: string, { name }: Pick<Side, 'name'>): readonly (string | Span)[] {
  return name.includes(which.toLowerCase()) ? [which] : [`${which}, `, term(name), ','];
}

function choiceTable(choices: readonly ChoiceRow[], left: Side, right: Side): Block {
  return {
    b: 'table',
    caption: 'Choices that differ',
    columns: [
      { head: 'Choice', align: 'start' },
      { head: left.name, align: 'end' },
      { head: right.name, align: 'end' },
    ],
    rows: choices.map((row) => [[text(row.what)], row.left, row.right]),
  };
}

function differentModels(left: Side, right: Side): boolean {
  return left.build.model.sha256 !== right.build.model.sha256;
}

function lowerFirst(words: string): string {
  return `${words[0]?.toLowerCase() ?? ''}${words.slice(1)}`;
}
