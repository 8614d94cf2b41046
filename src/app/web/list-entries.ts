// Putting entries into a list of the build and taking them out, on what stands now and not on what stood when the text was set.
import type { Editing } from './reader.ts';

export function listAt(editing: Editing, path: string): readonly unknown[] {
  const list = editing.valueAt(path);
  return Array.isArray(list) ? list : [];
}

/** The same entry twice is one. */
export function addEntry(editing: Editing, path: string, entry: unknown, follows: readonly string[]): void {
  const list = listAt(editing, path);
  if (!list.some((one) => isSame(one, entry))) editing.set(path, [...list, entry], follows);
}

/** Takes out the entry, whatever it is called by now; where it has changed otherwise, the one that stands in its place. */
export function removeEntry(
  editing: Editing,
  path: string,
  of: { readonly entry: unknown; readonly index: number },
  follows: readonly string[],
): void {
  const list = listAt(editing, path);
  const found = list.findIndex((one) => isSame(one, of.entry));
  const gone = found >= 0 ? found : of.index;
  if (gone < list.length) editing.set(path, list.toSpliced(gone, 1), follows);
}

/** Puts one entry in the place of another of which only one may be there; null puts none. */
export function exchangeEntry(
  editing: Editing,
  path: string,
  of: { readonly gone: readonly unknown[]; readonly come: unknown },
  follows: readonly string[],
): void {
  const kept = listAt(editing, path).filter((one) => !of.gone.some((gone) => isSame(one, gone)));
  editing.set(path, of.come === null ? kept : [...kept, of.come], follows);
}

/** A name may have been changed since. */
export function isSame(one: unknown, other: unknown): boolean {
  return JSON.stringify(nameless(one)) === JSON.stringify(nameless(other));
}

function nameless(entry: unknown): unknown {
  return typeof entry === 'object' && entry !== null ? { ...entry, name: '' } : entry;
}
