// The door to the store: a data folder, and in it or on a server the database.
import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { done, type Outcome, type Refusal, refuse } from '../base/findings.ts';
import { buildRows, isNamed } from './build-rows.ts';
import { type ContentFiles, openContentFiles } from './content-files.ts';
import type { Database, Write } from './database.ts';
import { isDiskFull, orFull } from './disk-full.ts';
import { openEmbedded } from './embedded/embedded-database.ts';
import { type FolderLock, lockFolder, type Owner } from './folder-lock.ts';
import { keptRows } from './kept-rows.ts';
import { migrate } from './migrations/migrations.ts';
import { takeInOldFolder } from './old-folder.ts';
import { openServerDatabase } from './server-database.ts';
import type { Store } from './store.ts';
import { sweepOldStages, sweepStages } from './whole-files.ts';

export interface StoreOptions {
  /** Made when it is not there. Holds files and results, and without `databaseUrl` the database too. */
  readonly dataFolder: string;
  /** postgres://... of a server; any number of processes may then share it, and the data folder. */
  readonly databaseUrl?: string | undefined;
  /** Image of a new database, which spares the first opening most of its time; where there is none, one is made from nothing. */
  readonly newDatabase?: string;
}

/** Where the build puts the image: beside the program. */
const IMAGE = fileURLToPath(new URL('./new-database.tgz', import.meta.url));

/** Longer than any upload takes: a staged file in a shared folder may belong to a living process of another machine. */
const ABANDONED_MS = 24 * 3600e3;

/** About a second; the very first time, when the database is made, several.
 *  Refuses: DATA_FOLDER_IN_USE, DATABASE_UNREACHED, STORE_NEWER, DISK_REFUSED. Findings: OLD_BUILD_UNREADABLE. */
export async function openStore({
  dataFolder,
  databaseUrl,
  newDatabase = IMAGE,
}: StoreOptions): Promise<Outcome<Store>> {
  try {
    mkdirSync(dataFolder, { recursive: true });
    if (databaseUrl !== undefined) return await openWith(dataFolder, await openServerDatabase(databaseUrl), null);
    const lock = await lockFolder(dataFolder);
    if ('takenBy' in lock) return inUse(dataFolder, lock.takenBy);
    try {
      sweepStages(dataFolder);
      const embedded = await openEmbedded(join(dataFolder, 'database'), existsSync(newDatabase) ? newDatabase : null);
      const opened = await openWith(dataFolder, embedded, lock);
      if (!opened.ok) await lock.release();
      return opened;
    } catch (error) {
      await lock.release();
      throw error;
    }
  } catch (error) {
    const refusal = refusalOf(dataFolder, error);
    if (refusal === null) throw error;
    return refusal;
  }
}

async function openWith(
  dataFolder: string,
  opened: Outcome<Database>,
  lock: FolderLock | null,
): Promise<Outcome<Store>> {
  if (!opened.ok) return opened;
  const database = opened.value;
  try {
    const filesFolder = join(dataFolder, 'files');
    const files = openContentFiles(filesFolder);
    if (lock === null) sweepOldStages(filesFolder, ABANDONED_MS);
    else sweepStages(filesFolder);
    const migrated = await orFull(() => migrate(database.tables));
    if (!migrated.ok) {
      await database.close();
      return migrated;
    }
    const findings = await orFull(() => takeInOldFolder(dataFolder, filesFolder, database.tables));
    return done(storeOf(database, files, lock), findings);
  } catch (error) {
    await database.close();
    throw error;
  }
}

function storeOf(database: Database, files: ContentFiles, lock: FolderLock | null): Store {
  const write: Write = (run) =>
    orFull(async () => {
      await database.ready();
      return database.tables.transaction().execute(run);
    });
  let closing: Promise<void> | null = null;
  return {
    ...buildRows(database.tables, write),
    ...keptRows(database.tables, write),
    takeFile: (from, mostBytes) => orFull(() => files.takeFile(from, mostBytes)),
    filePath: files.filePath,
    async dropFile(sha256, idleMs) {
      if (!(await isNamed(database.tables, sha256))) files.remove(sha256, idleMs);
    },
    noteAddress: (address) => lock?.noteAddress(address),
    close() {
      closing ??= database.close().finally(() => lock?.release());
      return closing;
    },
  };
}

function inUse(folder: string, owner: Owner | null): Refusal {
  if (owner === null) return refuse('DATA_FOLDER_IN_USE', `Another process works in ${folder} and has not said which.`);
  const page = owner.address === null ? 'It serves no page.' : `Its page is at ${owner.address}.`;
  return refuse('DATA_FOLDER_IN_USE', `Process ${owner.pid} has worked in ${folder} since ${owner.since}. ${page}`);
}

/** Trouble with the disk that is the maker's to mend; null for a bug. */
function refusalOf(folder: string, error: unknown): Refusal | null {
  if (isDiskFull(error))
    return refuse('DISK_REFUSED', `The disk of ${folder} is full; the data cannot be opened without some room.`);
  const { code } = error as NodeJS.ErrnoException;
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS')
    return refuse('DISK_REFUSED', `The folder ${folder} does not let itself be written to (${code}).`);
  if (code === 'ENOTDIR' || code === 'EEXIST') return refuse('DISK_REFUSED', `${folder} is no folder (${code}).`);
  return null;
}
