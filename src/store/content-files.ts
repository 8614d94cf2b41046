// Files by the SHA-256 of their bytes, taken in as they stream: whole and flushed under their hash, or not at all.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, rmSync, statSync } from 'node:fs';
import { type FileHandle, open, rename } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import type { Store } from './store.ts';
import { stageFor, syncFolder } from './whole-files.ts';

const HASH = /^[0-9a-f]{64}$/;

export interface ContentFiles extends Pick<Store, 'takeFile' | 'filePath'> {
  /** Whatever names it still is for the caller to know. */
  remove(sha256: string, idleMs: number): void;
}

export function openContentFiles(folder: string): ContentFiles {
  mkdirSync(folder, { recursive: true });
  return {
    async takeFile(from, mostBytes) {
      const staged = stageFor(join(folder, 'file'));
      try {
        const taken = await writeStaged(staged, from, mostBytes);
        if (taken === 'too large') return taken;
        // Over whatever is there under this name: the same bytes, or, after trouble with the disk, worse ones.
        await rename(staged, join(folder, taken.sha256));
        syncFolder(folder);
        return taken;
      } finally {
        rmSync(staged, { force: true });
      }
    },
    filePath(sha256) {
      const path = join(folder, sha256);
      return HASH.test(sha256) && existsSync(path) ? path : undefined;
    },
    remove(sha256, idleMs) {
      if (!HASH.test(sha256)) return;
      const path = join(folder, sha256);
      const takenAt = statSync(path, { throwIfNoEntry: false })?.mtimeMs;
      if (takenAt !== undefined && Date.now() - takenAt >= idleMs) rmSync(path, { force: true });
    },
  };
}

/** A stream that is too large is left where it stands, for whoever gave it to answer its sender and end it. */
async function writeStaged(
  path: string,
  from: Readable | Uint8Array,
  mostBytes: number,
): Promise<{ readonly sha256: string; readonly bytes: number } | 'too large'> {
  const hash = createHash('sha256');
  const handle = await open(path, 'wx');
  let bytes = 0;
  try {
    const chunks = from instanceof Uint8Array ? [from] : from.iterator({ destroyOnReturn: false });
    for await (const chunk of chunks as AsyncIterable<Uint8Array>) {
      bytes += chunk.length;
      if (bytes > mostBytes) return 'too large';
      hash.update(chunk);
      await writeAll(handle, chunk);
    }
    await handle.sync();
  } finally {
    await handle.close();
  }
  return { sha256: hash.digest('hex'), bytes };
}

async function writeAll(handle: FileHandle, chunk: Uint8Array): Promise<void> {
  for (let at = 0; at < chunk.length; ) at += (await handle.write(chunk, at)).bytesWritten;
}
