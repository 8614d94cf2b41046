// A folder of kept files that does not grow without end: what was not asked for the longest goes first.
import { mkdirSync, readdirSync, readFileSync, rmSync, statSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import type { Shelf } from '../../store/store.ts';
import { sweepStages, writeWholeFile } from '../../store/whole-files.ts';

export interface ShelfLimits {
  /** Bytes of all files together. */
  readonly mostBytes: number;
}

/** What was asked for the longest ago is dropped until this share of the limit is left, so that not every write has to look. */
const LEFT_SHARE = 0.9;
const SAFE = /^[A-Za-z0-9_-]{1,128}$/;

/** Files by key, each whole or not there. A read or a write marks the file's time; when all of them together pass the limit the oldest
 *  are removed. Other processes may share the folder: a file that is gone is simply not there. What is larger than the limit
 *  itself is not kept. Cost: one look at the folder when it is opened, and one each time the limit is passed. */
export function openBoundedShelf(folder: string, { mostBytes }: ShelfLimits): Shelf {
  mkdirSync(folder, { recursive: true });
  sweepStages(folder);
  let bytes = trim(folder, mostBytes, mostBytes);
  return {
    get(key) {
      const path = pathOf(folder, key);
      const found = readIfThere(path);
      if (found !== undefined) touch(path);
      return found;
    },
    put(key, file) {
      const path = pathOf(folder, key);
      if (file.length > mostBytes || touch(path)) return;
      writeWholeFile(path, file);
      bytes += file.length;
      if (bytes > mostBytes) bytes = trim(folder, mostBytes, mostBytes * LEFT_SHARE);
    },
  };
}

/** Removes the oldest files when all are over `most`, until no more than `left` bytes remain; gives what remains. */
function trim(folder: string, most: number, left: number): number {
  const files = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isFile() && SAFE.test(entry.name))
    .flatMap(({ name }) => sizeAndTime(join(folder, name)));
  let bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  if (bytes <= most) return bytes;
  files.sort((a, b) => a.timeMs - b.timeMs || (a.path < b.path ? -1 : 1));
  for (const { path, bytes: size } of files) {
    if (bytes <= left) break;
    rmSync(path, { force: true });
    bytes -= size;
  }
  return bytes;
}

function sizeAndTime(path: string): { path: string; bytes: number; timeMs: number }[] {
  const stat = statSync(path, { throwIfNoEntry: false });
  return stat === undefined ? [] : [{ path, bytes: stat.size, timeMs: stat.mtimeMs }];
}

/** False when the file is not there. */
function touch(path: string): boolean {
  const now = new Date();
  try {
    utimesSync(path, now, now);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
    throw error;
  }
}

function readIfThere(path: string): Uint8Array | undefined {
  try {
    return readFileSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

function pathOf(folder: string, key: string): string {
  if (!SAFE.test(key)) throw new Error(`not a key of the shelf: ${JSON.stringify(key.slice(0, 80))}`);
  return join(folder, key);
}
