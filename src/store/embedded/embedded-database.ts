// The embedded PostgreSQL in a folder of its own: made whole or not at all, flushed with every commit, opened again if it stops.
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { PGlite, PGliteOptions } from '@electric-sql/pglite';
import { Kysely } from 'kysely';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Database } from '../database.ts';
import { StoreFull } from '../store.ts';
import { SCHEMA, type Tables } from '../tables.ts';
import { stageFor, syncFolder, syncTree } from '../whole-files.ts';
import { type DatabaseFiles, databaseFiles } from './database-files.ts';
import { embeddedDialect, type Living } from './dialect.ts';
import { openReserve } from './reserve.ts';

/** The version of PostgreSQL whose folders this one reads. */
const MAJOR = 18;
/** Alone in its folder the database tidies nothing by itself, so the store does it every so many writes. */
const WRITES_BETWEEN_TIDYING = 250;
const TIDYING = [`vacuum ${SCHEMA}.builds`, `vacuum ${SCHEMA}.kept`, 'checkpoint'];

/** Refuses: STORE_NEWER. Throws StoreFull. */
export async function openEmbedded(folder: string): Promise<Outcome<Database>> {
  if (!existsSync(folder)) await makeDatabase(folder);
  const major = Number(readFileSync(join(folder, 'PG_VERSION'), 'utf8'));
  if (major !== MAJOR)
    return refuse('STORE_NEWER', `The database is of version ${major}; this version of the program reads ${MAJOR}.`);
  const reserve = openReserve(join(folder, 'reserve'));
  let held: Promise<Started> | null = null;
  let closed = false;
  const living = async (): Promise<Started> => {
    if (closed) throw new Error('the store is closed');
    held ??= start(folder, reserve.give);
    const mine = held;
    try {
      const started = await mine;
      if (started.under.stopped() === null) return started;
      if (held === mine) started.under.closeAll();
    } catch (error) {
      if (held === mine) held = null;
      throw error;
    }
    if (held === mine) held = null;
    return living();
  };
  await living();
  const tables = new Kysely<Tables>({ dialect: embeddedDialect(living) });
  let writes = 0;
  return done({
    tables,
    async ready() {
      reserve.restore();
      if (++writes % WRITES_BETWEEN_TIDYING !== 0) return;
      const { database, explain } = await living();
      for (const statement of TIDYING)
        await database.exec(statement).catch((error: unknown) => {
          throw explain(error);
        });
    },
    async close() {
      if (closed) return;
      closed = true;
      const last = await held;
      if (last === null) return;
      if (last.under.stopped() === null) await keepingExitCode(() => last.database.close());
      else last.under.closeAll();
    },
  });
}

interface Started extends Living {
  readonly under: DatabaseFiles;
}

/** About a second; after a kill it first repeats from the log what had been committed. */
async function start(
  folder: string,
  makeRoom: () => boolean,
  more: Pick<PGliteOptions, 'initDbStartParams'> = {},
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

/** Made in a staged folder and renamed, so that a kill leaves no half database. */
async function makeDatabase(folder: string): Promise<void> {
  const staged = stageFor(folder);
  mkdirSync(staged, { recursive: true });
  try {
    const noRoom = (): boolean => false;
    const { database } = await start(staged, noRoom, { initDbStartParams: ['--wal-segsize=1'] });
    await keepingExitCode(() => database.close());
    await syncTree(staged);
    renameSync(staged, folder);
    syncFolder(dirname(folder));
  } catch (error) {
    rmSync(staged, { recursive: true, force: true });
    throw error;
  }
}

/** The database's runtime leaves an exit code of its own with the process. */
async function keepingExitCode<T>(run: () => Promise<T>): Promise<T> {
  const before = process.exitCode;
  try {
    return await run();
  } finally {
    process.exitCode = before;
  }
}
