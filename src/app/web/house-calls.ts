// Calls of the pages around the books: shelf, workshop, history, two books side by side.
import type { BuildCard, BuildState, HistoryEntry } from '../api/api.ts';
import type { Beside } from '../api/beside.ts';
import type { NewMachine, NewMaterial, Workshop } from '../api/workshop.ts';
import { type Answer, ask, buildUrl, sending } from './server-calls.ts';

export function listBuilds(): Promise<Answer<readonly BuildCard[]>> {
  return ask('/api/builds');
}

/** Newest first. */
export function historyOf(id: string): Promise<Answer<readonly HistoryEntry[]>> {
  return ask(`${buildUrl(id)}/history`);
}

export function restoreVersion(id: string, version: number): Promise<Answer<BuildState>> {
  return ask(`${buildUrl(id)}/restore`, sending('POST', { version }));
}

export function getBeside(left: string, right: string): Promise<Answer<Beside>> {
  return ask(`/api/beside?${besideQuery(left, right)}`);
}

export function besideQuery(left: string, right: string): string {
  return new URLSearchParams({ left, right }).toString();
}

/** Where two books are read side by side. */
export function besidePath(left: string, right: string): string {
  return `/beside/${encodeURIComponent(left)}/${encodeURIComponent(right)}`;
}

export type RecordOf = {
  readonly machine: Workshop['machines'][number];
  readonly material: Workshop['materials'][number];
  readonly maker: Workshop['maker'];
};
export type RecordKind = keyof RecordOf;
export type NewRecordOf = { readonly machine: NewMachine; readonly material: NewMaterial };

/** The whole record; its revision must be the one that is kept. `id` is '' for the maker. */
export function keepRecord<K extends RecordKind>(kind: K, id: string, record: RecordOf[K]): Promise<Answer<Workshop>> {
  return ask(recordUrl(kind, id), sending('PUT', record));
}

export function addRecord<K extends 'machine' | 'material'>(
  kind: K,
  record: NewRecordOf[K],
): Promise<Answer<Workshop>> {
  return ask(recordUrl(kind, ''), sending('POST', record));
}

export function removeRecord(kind: 'machine' | 'material', id: string): Promise<Answer<Workshop>> {
  return ask(recordUrl(kind, id), { method: 'DELETE' });
}

function recordUrl(kind: RecordKind, id: string): string {
  const place = { machine: '/machines', material: '/materials', maker: '/maker' }[kind];
  return `/api/workshop${place}${id === '' ? '' : `/${encodeURIComponent(id)}`}`;
}
