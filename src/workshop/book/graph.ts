// Runs the chapters in order, and only those whose fingerprint is new.
import { canonicalJson } from '../../base/canonical-json.ts';
import type { Finding, Outcome, Refusal } from '../../base/findings.ts';
import { sha256OfText } from '../../base/sha256.ts';
import { partOfWork } from '../../base/work.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import { CHAPTER_NAMES, type ChapterName } from './book-text.ts';
import type { Build } from './build-file.ts';
import type { Chapter, Records, Source } from './chapter.ts';
import { CHAPTERS } from './chapters.ts';

/** Results by fingerprint. A refusal is a result too: asking again would not change it. */
export interface ResultStore {
  get(fingerprint: string): Outcome<Records[ChapterName]> | undefined;
  put(fingerprint: string, outcome: Outcome<Records[ChapterName]>): void;
}

export type ChapterResult<Name extends ChapterName = ChapterName> =
  | {
      readonly state: 'computed';
      readonly fingerprint: string;
      readonly reused: boolean;
      readonly record: Records[Name];
      readonly findings: readonly Finding[];
    }
  | { readonly state: 'refused'; readonly fingerprint: string; readonly reused: boolean; readonly refusal: Refusal }
  | { readonly state: 'waiting'; readonly fingerprint: string; readonly on: ChapterName };

export type BookResults = { readonly [Name in ChapterName]: ChapterResult<Name> };

export interface BookHooks {
  /** Called when a chapter is begun (it was not in the store) and when its result is known. */
  begun(name: ChapterName): void;
  known(name: ChapterName, result: ChapterResult): void;
}

export interface BookOutside {
  readonly results: ResultStore;
  readonly hooks: BookHooks;
  /** Chapters after this one are not asked for and wait; all are computed unless given. */
  readonly last?: ChapterName;
}

/** Share of the whole work each chapter usually takes, for progress. */
const SHARE: Readonly<Record<ChapterName, number>> = {
  model: 0.25,
  wearer: 0.05,
  pieces: 0.43,
  joints: 0.1,
  printing: 0.1,
  beds: 0.02,
  assembly: 0.02,
  surface: 0.03,
};

/** Fingerprints of all chapters: SHA-256 over name, revision, kernel version, settings, and what each needs. */
export function fingerprints(build: Build, source: Source, kernel: string): Record<ChapterName, string> {
  const prints = {} as Record<ChapterName, string>;
  for (const name of CHAPTER_NAMES) {
    const chapter = CHAPTERS[name] as unknown as AnyChapter;
    const needs = chapter.needs.map((need) => prints[need]);
    const settings = chapter.settingsOf(build, source);
    prints[name] = sha256OfText(canonicalJson({ chapter: name, revision: chapter.revision, kernel, settings, needs }));
  }
  return prints;
}

/** Computes the book. Results already in the store are taken from it; a chapter whose needs were refused waits.
 *  Throws Cancelled through work.tick; whatever was finished by then stays in the store. */
export function runBook(build: Build, source: Source, work: ChapterWork, outside: BookOutside): BookResults {
  const prints = fingerprints(build, source, work.solid.version);
  const known = {} as Record<ChapterName, ChapterResult>;
  const { last = 'surface' } = outside;
  let from = 0;
  for (const name of CHAPTER_NAMES) {
    if (CHAPTER_NAMES.indexOf(name) > CHAPTER_NAMES.indexOf(last)) {
      known[name] = { state: 'waiting', fingerprint: prints[name], on: last };
      continue;
    }
    const part = partOfWork(work, from, from + SHARE[name]);
    from += SHARE[name];
    known[name] = runChapter(name, prints[name], { build, source, work: part, known, ...outside });
    outside.hooks.known(name, known[name]);
  }
  return known as BookResults;
}

type AnyChapter = Chapter<ChapterName, ChapterName, unknown>;

interface RunContext {
  readonly build: Build;
  readonly source: Source;
  readonly work: ChapterWork;
  readonly known: Readonly<Record<ChapterName, ChapterResult>>;
  readonly results: ResultStore;
  readonly hooks: BookHooks;
}

function runChapter(name: ChapterName, fingerprint: string, context: RunContext): ChapterResult {
  const chapter = CHAPTERS[name] as unknown as AnyChapter;
  const missing = chapter.needs.find((need) => context.known[need].state !== 'computed');
  if (missing !== undefined) return { state: 'waiting', fingerprint, on: missing };
  const stored = context.results.get(fingerprint);
  if (stored !== undefined) return resultOf(stored, fingerprint, 'reused');
  context.hooks.begun(name);
  context.work.tick(0, chapter.name);
  const inputs = Object.fromEntries(
    chapter.needs.map((need) => [need, (context.known[need] as { record: unknown }).record]),
  ) as unknown as Records;
  const outcome = chapter.compute(inputs, chapter.settingsOf(context.build, context.source), context.work);
  context.results.put(fingerprint, outcome);
  return resultOf(outcome, fingerprint, 'new');
}

function resultOf(outcome: Outcome<Records[ChapterName]>, fingerprint: string, from: 'reused' | 'new'): ChapterResult {
  const reused = from === 'reused';
  return outcome.ok
    ? { state: 'computed', fingerprint, reused, record: outcome.value, findings: outcome.findings }
    : { state: 'refused', fingerprint, reused, refusal: outcome };
}
