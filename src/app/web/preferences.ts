// What this reader prefers on this machine: measure and paper, kept in the browser. Runs before the page does.
import type { Measure } from './format.ts';

/** 'system' follows the reader's system. */
export type Paper = 'system' | 'light' | 'dark';

export interface Preferences {
  readonly measure: Measure;
  readonly paper: Paper;
}

const KEY = 'helmwright-reader';
const USUAL: Preferences = { measure: 'mm', paper: 'system' };

export function readPreferences(): Preferences {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<Preferences>;
    return {
      measure: kept.measure === 'inch' ? 'inch' : USUAL.measure,
      paper: kept.paper === 'light' || kept.paper === 'dark' ? kept.paper : USUAL.paper,
    };
  } catch {
    return USUAL;
  }
}

/** Called before the first paint, so that a dark page never flashes white. */
export function applyPaper(paper: Paper): void {
  if (paper === 'system') delete document.documentElement.dataset.paper;
  else document.documentElement.dataset.paper = paper;
}

export function keepPreferences(preferences: Preferences): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(preferences));
  } catch {
    // A browser that keeps nothing still shows what was chosen.
  }
}
