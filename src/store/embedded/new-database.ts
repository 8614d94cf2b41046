// A new, empty embedded database: made from nothing, which computes for seconds, or laid out from an image that the build made.
import { mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { stageFor, syncFolder, syncTree } from '../whole-files.ts';
import { keepingExitCode, startDatabase } from './start-database.ts';

/** Files of the log of 1 MiB instead of 16: the folder is small, and so is the room to hold back for a full disk. */
const FROM_NOTHING = { initDbStartParams: ['--wal-segsize=1'] };
const noRoom = (): boolean => false;

/** Made in a staged folder and renamed, so that a kill leaves no half database. */
export async function makeDatabase(folder: string, image: string | null): Promise<void> {
  const staged = stageFor(folder);
  mkdirSync(staged, { recursive: true });
  try {
    const from = image === null ? FROM_NOTHING : { loadDataDir: new Blob([readFileSync(image)]) };
    const { database } = await startDatabase(staged, noRoom, from);
    await keepingExitCode(() => database.close());
    await syncTree(staged);
    renameSync(staged, folder);
    syncFolder(dirname(folder));
  } catch (error) {
    rmSync(staged, { recursive: true, force: true });
    throw error;
  }
}

/** The bytes of an image for {@link makeDatabase}: a packed archive of the folder of a database in which nothing has been done. */
export async function newDatabaseImage(): Promise<Uint8Array> {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-new-database-'));
  try {
    const { database } = await startDatabase(folder, noRoom, FROM_NOTHING);
    const image = await database.dumpDataDir('gzip');
    await keepingExitCode(() => database.close());
    return new Uint8Array(await image.arrayBuffer());
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
