// Reading and setting one value of one record of the workshop.
import type { Workshop } from '../api/workshop.ts';
import type { RecordKind, RecordOf } from './house-calls.ts';
import { valueAt } from './value-at.ts';

export interface Which {
  readonly kind: RecordKind;
  /** '' for the maker. */
  readonly id: string;
}

/** A value of one record. `path` as in the build file: `nozzleMm`, `bedMm.0`. */
export interface Place extends Which {
  readonly path: string;
}

export type WorkshopRecord = RecordOf[RecordKind];

export function recordIn(workshop: Workshop | null, { kind, id }: Which): WorkshopRecord | null {
  if (workshop === null) return null;
  if (kind === 'maker') return workshop.maker;
  const list: readonly RecordOf['machine' | 'material'][] = kind === 'machine' ? workshop.machines : workshop.materials;
  return list.find((each) => each.id === id) ?? null;
}

export function valueIn(workshop: Workshop | null, place: Place): unknown {
  return valueAt(recordIn(workshop, place), place.path);
}

/** A copy with the value at the path; paths are at most two deep. */
export function withValue<R extends WorkshopRecord>(record: R, path: string, value: unknown): R {
  const [key = '', inner] = path.split('.');
  if (inner === undefined) return { ...record, [key]: value };
  const list = (record as unknown as Readonly<Record<string, readonly unknown[]>>)[key] ?? [];
  return { ...record, [key]: list.map((each, index) => (index === Number(inner) ? value : each)) };
}

export function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
