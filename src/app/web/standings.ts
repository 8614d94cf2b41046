// Says in words how each chapter stands: computed, computing with progress, waiting, refused.

import { CHAPTER_NAMES, type ChapterName } from '../../workshop/book/book-text.ts';
import type { BuildState, Computing } from '../api/api.ts';
import type { ChapterStanding } from './book-view.tsx';

export interface ContentsEntry {
  readonly name: ChapterName;
  readonly title: string;
  readonly says: string;
  readonly tone: 'computed' | 'computing' | 'waiting' | 'refused';
}

const TITLES: Readonly<Record<ChapterName, string>> = {
  model: 'Model',
  wearer: 'Wearer',
  pieces: 'Pieces',
  printing: 'Printing',
};

export function contentsOf(state: BuildState, computing: Computing | null): readonly ContentsEntry[] {
  return CHAPTER_NAMES.map((name) => {
    const chapter = state.text?.chapters.find((each) => each.name === name);
    const title = chapter?.title ?? TITLES[name];
    if (computing?.chapter === name) return { name, title, says: 'computing', tone: 'computing' };
    if (state.stale.includes(name) || chapter === undefined)
      return { name, title, says: notYet(name, computing), tone: 'waiting' };
    if (chapter.state === 'refused') return { name, title, says: 'refused', tone: 'refused' };
    if (chapter.state === 'waiting') return { name, title, says: 'waiting', tone: 'waiting' };
    return { name, title, says: 'computed', tone: 'computed' };
  });
}

function notYet(name: ChapterName, computing: Computing | null): string {
  if (computing === null) return 'not computed';
  return isBehind(name, computing) ? 'done' : 'waiting';
}

/** Whether the work has passed this chapter; the text comes when all of it has ended. */
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
    const says = staleWords(name, computing);
    standings[name] = { stale: true, says };
  }
  return standings;
}

function staleWords(name: ChapterName, computing: Computing | null): string {
  if (computing === null) return 'The computation was stopped; what follows is from before the last change.';
  if (computing.chapter === name) return 'Being computed again; what follows is from before the change.';
  if (isBehind(name, computing)) return 'Computed again; the new text comes when the others are done.';
  return 'Waits to be computed again; what follows is from before the change.';
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
