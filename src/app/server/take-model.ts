// A model file on its way in: streamed to where it stays, looked at by the engine, and only then a build.
import type { Readable } from 'node:stream';
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import type { Store } from '../../store/store.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import type { NewBuild } from '../api/api.ts';
import { titleOf } from '../title-of.ts';
import type { BuildChanges } from './build-changes.ts';
import { plainFileName } from './file-names.ts';
import type { ModelReader } from './model-reader.ts';
import type { WorkshopRecords } from './workshop-records.ts';

export interface TakeModelMeans {
  readonly store: Store;
  readonly reader: ModelReader;
  readonly workshop: Pick<WorkshopRecords, 'newBuild'>;
  readonly changes: Pick<BuildChanges, 'add'>;
  readonly mostBytes: number;
}

/** Refuses FILE_UNREADABLE (empty), FILE_TOO_LARGE, and whatever the reader of its format refuses; neither build nor file is left then. */
export async function takeModel(
  { store, reader, workshop, changes, mostBytes }: TakeModelMeans,
  sent: { readonly name: string; readonly body: Readable },
): Promise<Outcome<NewBuild>> {
  const taken = await store.takeFile(sent.body, mostBytes);
  if (taken === 'too large') return tooLarge('The file', mostBytes);
  if (taken.bytes === 0) {
    await store.dropFile(taken.sha256, 0);
    return refuse('FILE_UNREADABLE', 'The model file is empty (0 bytes).', {
      tryThis: 'Export or download the file again, and look at its size.',
    });
  }
  const file = plainFileName(sent.name);
  const build = workshop.newBuild({ name: titleOf(file), file, sha256: taken.sha256 });
  const refusal = await readable(store, reader, build);
  if (refusal === null) return done(await changes.add(build));
  await store.dropFile(taken.sha256, 0);
  return refusal;
}

/** What is announced larger is refused before a byte of it is read. */
export function announcedTooLarge(length: string | undefined, mostBytes: number): Refusal | null {
  const bytes = Number(length ?? 0);
  return bytes > mostBytes ? tooLarge('The file', mostBytes, bytes) : null;
}

export function tooLarge(what: string, mostBytes: number, bytes?: number): Refusal {
  const measured = bytes === undefined ? 'is larger' : `has ${megabytes(bytes)} MB, which is more`;
  return refuse('FILE_TOO_LARGE', `${what} ${measured} than the ${megabytes(mostBytes)} MB that are taken.`);
}

async function readable(store: Store, reader: ModelReader, build: Build): Promise<Refusal | null> {
  const path = store.filePath(build.model.sha256);
  if (path === undefined) return refuse('MODEL_MISSING', 'The file was taken but is no longer in the data folder.');
  return reader.read(build, path);
}

function megabytes(bytes: number): string {
  return bytes < 1e6 ? (bytes / 1e6).toFixed(3) : String(Math.round(bytes / 1e6));
}
