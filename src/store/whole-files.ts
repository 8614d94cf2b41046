// Files and folders that appear whole or not at all.
import { randomBytes } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { open } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';

const STAGE = '.helmwright-part-';

/** Writes beside the target and renames over it. A kill leaves at most a staged file, swept by {@link sweepStages}. */
export function writeWholeFile(path: string, bytes: Uint8Array | string): void {
  mkdirSync(dirname(path), { recursive: true });
  const staged = stageFor(path);
  try {
    writeThrough(staged, typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes);
    renameSync(staged, path);
  } catch (error) {
    rmSync(staged, { force: true });
    throw error;
  }
}

/** Writes all files into a staged folder, then renames it to `dir`. A folder that is there is replaced only when
 *  `mayReplace` says so. Staged in the system's temporary folder when that is on the same file system. */
export function writeWholeFolder(
  dir: string,
  files: ReadonlyMap<string, Uint8Array | string>,
  mayReplace: (dir: string) => boolean,
): 'written' | 'in the way' {
  const target = resolve(dir);
  if (existsSync(target) && !mayReplace(target)) return 'in the way';
  mkdirSync(dirname(target), { recursive: true });
  sweepStages(stageRoot(dirname(target)));
  const staged = stageFor(join(stageRoot(dirname(target)), basename(target)));
  try {
    for (const [name, bytes] of files) {
      const path = join(staged, name);
      mkdirSync(dirname(path), { recursive: true });
      writeThrough(path, typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes);
    }
    swapIn(staged, target);
  } catch (error) {
    rmSync(staged, { recursive: true, force: true });
    throw error;
  }
  return 'written';
}

/** A path beside the target to write to before renaming; swept by {@link sweepStages} when this process is killed. */
export function stageFor(target: string): string {
  return join(dirname(target), `${STAGE}${process.pid}-${randomBytes(6).toString('hex')}`);
}

/** Flushes the names in a folder, so that a rename outlives a power cut. Windows flushes them by itself and cannot be asked. */
export function syncFolder(folder: string): void {
  if (process.platform === 'win32') return;
  const handle = openSync(folder, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Flushes every file and folder below, a few at a time. */
export async function syncTree(root: string): Promise<void> {
  const entries = readdirSync(root, { recursive: true, withFileTypes: true });
  const files = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  const flush = async (): Promise<void> => {
    for (let path = files.pop(); path !== undefined; path = files.pop()) {
      const handle = await open(path, 'r+');
      await handle.sync().finally(() => handle.close());
    }
  };
  await Promise.all(Array.from({ length: 4 }, flush));
  for (const entry of entries) if (entry.isDirectory()) syncFolder(join(entry.parentPath, entry.name));
  syncFolder(root);
}

/** Removes what killed processes left behind. */
export function sweepStages(root: string): void {
  if (!existsSync(root)) return;
  for (const name of readdirSync(root)) {
    if (!name.startsWith(STAGE)) continue;
    const pid = Number(name.slice(STAGE.length).split('-')[0]);
    if (pid !== process.pid && !isAlive(pid)) rmSync(join(root, name), { recursive: true, force: true });
  }
}

/** The same where processes of other machines may write too: what nobody has written to for so long. */
export function sweepOldStages(root: string, olderThanMs: number): void {
  for (const name of readdirSync(root)) {
    if (!name.startsWith(STAGE)) continue;
    const path = join(root, name);
    const written = statSync(path, { throwIfNoEntry: false })?.mtimeMs;
    if (written !== undefined && Date.now() - written > olderThanMs) rmSync(path, { recursive: true, force: true });
  }
}

function writeThrough(path: string, bytes: Uint8Array): void {
  const file = openSync(path, 'w');
  try {
    let at = 0;
    while (at < bytes.length) at += writeSync(file, bytes, at, bytes.length - at);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function swapIn(staged: string, target: string): void {
  if (!existsSync(target)) {
    renameSync(staged, target);
    return;
  }
  const old = `${staged}-old-${basename(target)}`;
  renameSync(target, old);
  try {
    renameSync(staged, target);
  } catch (error) {
    renameSync(old, target);
    throw error;
  }
  rmSync(old, { recursive: true, force: true });
}

function stageRoot(parent: string): string {
  const temporary = tmpdir();
  try {
    return statSync(temporary).dev === statSync(parent).dev ? temporary : parent;
  } catch {
    return parent;
  }
}

function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
