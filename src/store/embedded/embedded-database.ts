// The embedded PostgreSQL in a folder of its own: made whole or not at all, flushed with every commit, opened again if it stops.
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Kysely } from 'kysely';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Database } from '../database.ts';
import { SCHEMA, type Tables } from '../tables.ts';
import { embeddedDialect } from './dialect.ts';
import { makeDatabase } from './new-database.ts';
import { openReserve } from './reserve.ts';
import { keepingExitCode, type Started, startDatabase } from './start-database.ts';

/** The version of PostgreSQL whose folders this one reads. */
const MAJOR = 18;
/** Alone in its folder the database tidies nothing by itself, so the store does it every so many writes. */
const WRITES_BETWEEN_TIDYING = 250;
const TIDYING = [`vacuum ${SCHEMA}.builds`, `vacuum ${SCHEMA}.kept`, 'checkpoint'];

/** A folder that is not there is made, from the image when there is one. Refuses: STORE_NEWER. Throws StoreFull. */
export async function openEmbedded(folder: string, image: string | null): Promise<Outcome<Database>> {
  if (!existsSync(folder)) await makeDatabase(folder, image);
  const major = Number(readFileSync(join(folder, 'PG_VERSION'), 'utf8'));
  if (major !== MAJOR)
    return refuse('STORE_NEWER', `The database is of version ${major}; this version of the program reads ${MAJOR}.`);
  const reserve = openReserve(join(folder, 'reserve'));
  let held: Promise<Started> | null = null;
  let closed = false;
  const living = async (): Promise<Started> => {
    if (closed) throw new Error('the store is closed');
    held ??= startDatabase(folder, reserve.give);
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
