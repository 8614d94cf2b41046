// One open book as the server holds it: the build, its text, pictures and progress, and who listens. Plain changes of it, no I/O.
import type { StoredBuild } from '../../store/store.ts';
import type { BookSummary } from '../../workshop/book/book-summary.ts';
import type { BookText, ChapterText, Drawings } from '../../workshop/book/book-text.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import { changedPaths } from '../../workshop/book/changed-paths.ts';
import { followsOf } from '../../workshop/book/editable.ts';
import type { BuildState, Computing, Problem, ServerEvent } from '../api/api.ts';
import { type BookRef, writeRef } from '../api/beside.ts';
import type { Workshop } from '../api/workshop.ts';
import { offersFor } from './offers.ts';

export interface Session {
  /** A build as it stands, or one of its versions, which never changes. */
  readonly ref: BookRef;
  readonly key: string;
  stored: StoredBuild;
  build: Build;
  /** Raised by everything that a page should know, progress apart. */
  turn: number;
  text: BookText | null;
  summary: BookSummary | null;
  drawings: Drawings;
  figure: Uint8Array;
  figureTurn: number;
  figureIs: BuildState['figureIs'];
  computing: Computing | null;
  stale: ReadonlySet<string>;
  trouble: Problem | null;
  /** Raised by every new computation, so that what an older one still says is not taken. */
  attempt: number;
  /** The build of `text` and `drawings` when they are complete; null before. */
  computed: Build | null;
  readonly listeners: Set<(event: ServerEvent) => void>;
  /** When a page last asked for it, ms. */
  usedAt: number;
}

/** What a computation ends with, from the engine or from where it was kept. */
export interface Computed {
  readonly text: BookText;
  readonly summary: BookSummary;
  readonly drawings: Drawings;
  readonly figure: Uint8Array;
}

export function freshSession(ref: BookRef, stored: StoredBuild, build: Build): Session {
  return {
    ref,
    key: writeRef(ref),
    stored,
    build,
    turn: 1,
    text: null,
    summary: null,
    drawings: {},
    figure: new Uint8Array(),
    figureTurn: 0,
    figureIs: 'none',
    computing: null,
    stale: new Set(),
    trouble: null,
    attempt: 0,
    computed: null,
    listeners: new Set(),
    usedAt: Date.now(),
  };
}

/** Another version stands. Chapters that read what has changed become stale, those of an unfinished computation stay so. */
export function standOn(session: Session, stored: StoredBuild): ReturnType<typeof readBuild> {
  const read = readBuild(stored.build);
  if (!read.ok) return read;
  const follows = changedPaths(session.build, read.value).flatMap(followsOf);
  session.stored = stored;
  session.build = read.value;
  session.stale = new Set([...session.stale, ...follows]);
  session.turn++;
  return read;
}

/** One chapter is known; the others stay as they were. */
export function takeChapter(session: Session, chapter: ChapterText): void {
  const before = session.text?.chapters ?? [];
  const known = before.some(({ name }) => name === chapter.name);
  session.text = {
    kind: 'book-text',
    version: 1,
    title: session.build.name,
    standfirst: session.text?.standfirst ?? [],
    chapters: known ? before.map((each) => (each.name === chapter.name ? chapter : each)) : [...before, chapter],
  };
  session.stale = new Set([...session.stale].filter((name) => name !== chapter.name));
  session.turn++;
}

/** The model as it came, only until something better has been shown. */
export function takeDraft(session: Session, figure: Uint8Array): void {
  if (session.figureIs === 'whole') return;
  session.figure = figure;
  session.figureIs = 'draft';
  session.figureTurn++;
  session.turn++;
}

export function takeComputed(session: Session, answer: Computed): void {
  session.text = answer.text;
  session.summary = answer.summary;
  session.drawings = answer.drawings;
  if (session.figureIs !== 'whole' || !sameBytes(session.figure, answer.figure)) session.figureTurn++;
  session.figure = answer.figure;
  session.figureIs = 'whole';
  session.computing = null;
  session.stale = new Set();
  session.trouble = null;
  session.computed = session.build;
  session.turn++;
}

export function endInTrouble(session: Session, problem: Problem): void {
  session.computing = null;
  session.trouble = problem;
  session.turn++;
}

/** Stopped, not failed: what was known stays, what is stale stays stale. */
export function endStopped(session: Session): void {
  session.computing = null;
  session.turn++;
}

export function isComputed(session: Session): boolean {
  return session.computed === session.build;
}

export function stateOf(session: Session, workshop: Workshop): BuildState {
  return {
    id: session.ref.id,
    turn: session.turn,
    build: session.build,
    version: session.stored.version,
    text: session.text,
    summary: session.summary,
    drawings: session.drawings,
    computing: session.computing,
    stale: [...session.stale],
    figureTurn: session.figureTurn,
    figureIs: session.figureIs,
    trouble: session.trouble,
    canUndo: session.stored.canUndo,
    canRedo: session.stored.canRedo,
    offers: session.ref.version === null ? offersFor(session.build, workshop) : [],
  };
}

function sameBytes(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && Buffer.compare(a, b) === 0;
}
