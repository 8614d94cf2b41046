// Where a store can live, for tests that hold all of them to the same: the embedded database in a folder, and a server's.
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { openStore, type StoreOptions } from '../../src/store/open-store.ts';
import type { Store } from '../../src/store/store.ts';
import { BUILT } from './command.ts';
import { type PostgresServer, postgresPrograms, startPostgres } from './postgres-server.ts';

export interface Place {
  readonly options: StoreOptions;
  open(): Promise<Store>;
  /** Removes all that the place holds; its stores are closed. */
  remove(): Promise<void>;
}

export interface PlaceKind {
  readonly name: string;
  /** Why tests of it cannot run here; null when they can. */
  readonly cannot: string | null;
  readonly make: () => Promise<Place>;
}

/** Laid out from the image of the built program: making a database from nothing takes seconds of computing. */
export const NEW_DATABASE = join(BUILT, 'new-database.tgz');

export const EMBEDDED: PlaceKind = { name: 'the embedded database', cannot: null, make: embeddedPlace };
const SERVER: PlaceKind = {
  name: 'a PostgreSQL server',
  cannot: postgresPrograms() === null ? 'no PostgreSQL server is installed here' : null,
  make: serverPlace,
};
export const PLACES = [EMBEDDED, SERVER] as const;

async function embeddedPlace(): Promise<Place> {
  const dataFolder = mkdtempSync(join(tmpdir(), 'helmwright-store-'));
  prepared ??= prepareFolder();
  cpSync(await prepared, dataFolder, { recursive: true });
  return place({ dataFolder, newDatabase: NEW_DATABASE }, async () => undefined);
}

/** A folder whose database has its tables and nothing in them, for others to be copied from. */
let prepared: Promise<string> | null = null;
afterAll(async () => {
  if (prepared !== null) rmSync(await prepared, { recursive: true, force: true });
});

async function prepareFolder(): Promise<string> {
  const dataFolder = mkdtempSync(join(tmpdir(), 'helmwright-prepared-'));
  const opened = await openStore({ dataFolder, newDatabase: NEW_DATABASE });
  if (!opened.ok) throw new Error(`${opened.code}: ${opened.why}`);
  await opened.value.close();
  return dataFolder;
}

async function serverPlace(): Promise<Place> {
  const dataFolder = mkdtempSync(join(tmpdir(), 'helmwright-store-'));
  const server: PostgresServer = await startPostgres();
  return place({ dataFolder, databaseUrl: await server.newDatabase() }, () => server.stop());
}

function place(options: StoreOptions, end: () => Promise<void>): Place {
  return {
    options,
    async open() {
      const opened = await openStore(options);
      if (!opened.ok) throw new Error(`${opened.code}: ${opened.why}`);
      return opened.value;
    },
    async remove() {
      await end();
      rmSync(options.dataFolder, { recursive: true, force: true });
    },
  };
}
