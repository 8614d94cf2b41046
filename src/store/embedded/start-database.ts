// Starts the embedded database over its folder with the settings that make a commit durable.
import type { PGlite, PGliteOptions } from '@electric-sql/pglite';
import { StoreFull } from '../store.ts';
import { type DatabaseFiles, databaseFiles } from './database-files.ts';
import type { Living } from './dialect.ts';

export interface Started extends Living {
  readonly under: DatabaseFiles;
}

/** About half a second of computing; after a kill it first repeats from the log what had been committed. */
export async function startDatabase(
  folder: string,
  makeRoom: () => boolean,
  more: Pick<PGliteOptions, 'initDbStartParams' | 'loadDataDir'> = {},
): Promise<Started> {
  const [{ PGlite: Embedded }, { NodeFS }] = await Promise.all([
    import('@electric-sql/pglite'),
    import('@electric-sql/pglite/nodefs'),
  ]);
  const under = databaseFiles(NodeFS, folder, makeRoom);
  const startParams = [
    // Its own habit is to flush nothing (-F); the only way of flushing that reaches the disk here is fsync.
    ...Embedded.defaultStartParams.filter((parameter) => parameter !== '-F'),
    ...['wal_sync_method=fsync', 'min_wal_size=4MB', 'max_wal_size=16MB'].flatMap((setting) => ['-c', setting]),
  ];
  try {
    const database: PGlite = await keepingExitCode(() => Embedded.create({ fs: under.files, startParams, ...more }));
    return { database, under, explain: (error) => explain(error, under) };
  } catch (error) {
    under.closeAll();
    throw under.foundFull() ? new StoreFull(error) : error;
  }
}

/** An error that ends the database ends it here too; and a full disk is told from a bug. */
function explain(error: unknown, under: DatabaseFiles): unknown {
  const { severity } = error as { readonly severity?: unknown };
  if (severity === 'PANIC' || severity === 'FATAL') under.stop(`${severity}: ${(error as Error).message}`);
  return under.stopped() !== null && under.foundFull() ? new StoreFull(error) : error;
}

/** The database's runtime leaves an exit code of its own with the process. */
export async function keepingExitCode<T>(run: () => Promise<T>): Promise<T> {
  const before = process.exitCode;
  try {
    return await run();
  } finally {
    process.exitCode = before;
  }
}
