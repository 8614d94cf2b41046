// Says in words how each chapter stands: computed, computing with its progress, waiting, in need of a decision, refused.
import { CHAPTER_NAMES, type ChapterName, type Decision } from '../../workshop/book/book-text.ts';
import type { BuildState, Computing } from '../api/api.ts';
import type { ChapterStanding } from './book-view.tsx';
import { controlHash } from './control-link.ts';

export interface ContentsEntry {
  readonly name: ChapterName;
  readonly title: string;
  readonly says: string;
  readonly tone: 'computed' | 'computing' | 'waiting' | 'decide' | 'refused';
  /** Where the entry leads: to the chapter, or to the control that answers what it asks. */
  readonly href: string;
  /** Questions beyond the one that is said. */
  readonly more: number;
}

const TITLES: Readonly<Record<ChapterName, string>> = {
  model: 'Model',
  wearer: 'Wearer',
  pieces: 'Pieces',
  joints: 'Joints',
  printing: 'Printing',
  beds: 'Beds',
  assembly: 'Assembly',
  surface: 'Surface',
};

export function contentsOf(state: BuildState, computing: Computing | null): readonly ContentsEntry[] {
  return CHAPTER_NAMES.map((name): ContentsEntry => {
    const chapter = state.text?.chapters.find((each) => each.name === name);
    const entry = { name, title: chapter?.title ?? TITLES[name], href: `#${name}`, more: 0 };
    const isOld = chapter === undefined || state.stale.includes(name);
    if (computing?.chapter === name && (isOld || chapter.state === 'waiting'))
      return { ...entry, says: `computing, ${percent(computing.fraction)} of all`, tone: 'computing' };
    if (isOld) return { ...entry, says: notYet(name, computing), tone: 'waiting' };
    const question = chapter.decisions[0];
    const asks = { href: question === undefined ? entry.href : controlHash(question) };
    if (chapter.state === 'refused') return { ...entry, ...asks, says: 'refused', tone: 'refused' };
    if (chapter.state === 'waiting') return { ...entry, says: notYet(name, computing), tone: 'waiting' };
    if (question !== undefined)
      return { ...entry, ...asks, says: question.asks, more: chapter.decisions.length - 1, tone: 'decide' };
    return { ...entry, says: 'computed', tone: 'computed' };
  });
}

function notYet(name: ChapterName, computing: Computing | null): string {
  if (computing === null) return 'waiting';
  return isBehind(name, computing) ? 'done' : 'waiting';
}

/** Whether the work has passed this chapter. */
function isBehind(name: ChapterName, { chapter }: Computing): boolean {
  if (chapter === 'book') return true;
  const at = (CHAPTER_NAMES as readonly string[]).indexOf(chapter);
  return at > CHAPTER_NAMES.indexOf(name);
}

/** The chapters whose text is older than the build. */
export function standingsOf(
  state: BuildState,
  computing: Computing | null,
): Readonly<Partial<Record<ChapterName, ChapterStanding>>> {
  const standings: Partial<Record<ChapterName, ChapterStanding>> = {};
  for (const name of CHAPTER_NAMES) {
    if (!state.stale.includes(name)) continue;
    const isBlank = state.text?.chapters.find((each) => each.name === name)?.state === 'waiting';
    standings[name] = { stale: !isBlank, says: isBlank ? blankWords(name, computing) : staleWords(name, computing) };
  }
  return standings;
}

function staleWords(name: ChapterName, computing: Computing | null): string {
  if (computing === null) return 'The computation was stopped; what follows is from before the last change.';
  if (computing.chapter === name) return 'Being computed again; what follows is from before the change.';
  if (isBehind(name, computing)) return 'Computed again; the new text is being set.';
  return 'Waits to be computed again; what follows is from before the change.';
}

/** Of a chapter that has no text yet: its choices stand, its results follow. */
function blankWords(name: ChapterName, computing: Computing | null): string {
  if (computing === null) return 'The computation was stopped before it came to this.';
  return computing.chapter === name ? 'Being computed; its results follow.' : 'Its results follow when it is computed.';
}

/** What is open in the whole book, in its order. */
export function decisionsOf(state: BuildState): readonly Decision[] {
  const fresh = (state.text?.chapters ?? []).filter(({ name }) => !state.stale.includes(name));
  return fresh.flatMap(({ decisions }) => decisions);
}

/** "Pieces: searching divisions, 41%". */
export function computingWords(computing: Computing): string {
  const known = CHAPTER_NAMES.find((name) => name === computing.chapter);
  const subject = known === undefined ? capital(computing.chapter) : TITLES[known];
  return `${subject}: ${computing.doing}, ${percent(computing.fraction)}`;
}

function capital(word: string): string {
  return `${word[0]?.toUpperCase() ?? ''}${word.slice(1)}`;
}

function percent(fraction: number): string {
  return `${Math.round(100 * Math.min(1, Math.max(0, fraction)))}%`;
}
