// The history of a build as it is set: by day, newest first, with what stands, what led to it, and what was left when undone.
import type { HistoryEntry } from '../api/api.ts';

/** 'line': it led to the version that stands. 'undone': it was made from the one that stands, or from what followed it, and taken
 *  back. 'left': it was taken back, and something else was done instead. */
export type LinePlace = 'stands' | 'line' | 'undone' | 'left';

export interface HistoryLine {
  readonly entry: HistoryEntry;
  readonly place: LinePlace;
  /** The one above it in the page is of another day or another place: what is said of several is said once. */
  readonly first: boolean;
}

export interface HistoryDay {
  /** Of the newest entry of the day. */
  readonly at: string;
  readonly lines: readonly HistoryLine[];
}

/** `entries`: newest first. `dayOf` gives equal words for times of one day. */
export function historyDays(entries: readonly HistoryEntry[], dayOf: (iso: string) => string): readonly HistoryDay[] {
  const places = placesOf(entries);
  const days: { at: string; lines: HistoryLine[] }[] = [];
  for (const entry of entries) {
    const place = places.get(entry.number) ?? 'line';
    const last = days.at(-1);
    if (last !== undefined && dayOf(last.at) === dayOf(entry.madeAt))
      last.lines.push({ entry, place, first: last.lines.at(-1)?.place !== place });
    else days.push({ at: entry.madeAt, lines: [{ entry, place, first: true }] });
  }
  return days;
}

function placesOf(entries: readonly HistoryEntry[]): ReadonlyMap<number, LinePlace> {
  const byNumber = new Map(entries.map((entry) => [entry.number, entry]));
  const places = new Map<number, LinePlace>();
  const stands = entries.find((entry) => entry.stands);
  for (let at = stands; at !== undefined; at = at.from === null ? undefined : byNumber.get(at.from)) {
    if (places.has(at.number)) break;
    places.set(at.number, at === stands ? 'stands' : 'line');
  }
  // Oldest first, so that what a version was made from is known before it.
  for (const { number, from } of [...entries].sort((a, b) => a.number - b.number)) {
    if (places.has(number)) continue;
    const before = from === null ? undefined : places.get(from);
    places.set(number, before === 'stands' || before === 'undone' ? 'undone' : 'left');
  }
  return places;
}
