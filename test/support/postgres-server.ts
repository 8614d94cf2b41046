// A PostgreSQL server of the test's own: a fresh cluster in a temporary folder, reached by a socket in it, gone with the test.
import { type ChildProcess, execFileSync, spawn, spawnSync } from 'node:child_process';
import { chmodSync, chownSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import pg from 'pg';

export interface PostgresServer {
  /** Address of a new, empty database on it; its tables in the folder `within`, when one is given. */
  newDatabase(within?: string): Promise<string>;
  stop(): Promise<void>;
}

/** Folder of the server's programs; null where none is installed. `npm run check` installs Debian's. */
export function postgresPrograms(): string | null {
  const debian = '/usr/lib/postgresql';
  const versions = existsSync(debian) ? readdirSync(debian).map(Number).filter(Number.isInteger) : [];
  const folders = versions.sort((a, b) => b - a).map((version) => join(debian, `${version}`, 'bin'));
  const asked = spawnSync('pg_config', ['--bindir'], { encoding: 'utf8' });
  if (asked.status === 0) folders.push(asked.stdout.trim());
  return folders.find((folder) => existsSync(join(folder, 'initdb')) && existsSync(join(folder, 'postgres'))) ?? null;
}

export async function startPostgres(): Promise<PostgresServer> {
  const programs = postgresPrograms();
  if (programs === null) throw new Error('no PostgreSQL server is installed');
  // Short, since the name of a socket may not be longer than about a hundred letters.
  const folder = mkdtempSync(join(tmpdir(), 'hw-pg-'));
  const data = mkdtempSync(join(tmpdir(), 'hw-pg-data-'));
  const user = ordinaryUser();
  for (const each of [folder, data]) {
    if (user !== null) chownSync(each, user.uid, user.gid);
    chmodSync(each, 0o700);
  }
  const as = user ?? {};
  execFileSync(
    join(programs, 'initdb'),
    ['-D', data, '-U', 'owner', '-A', 'trust', '-E', 'UTF8', '--locale=C', '--wal-segsize=1'],
    {
      ...as,
      cwd: folder,
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  const server = spawn(
    join(programs, 'postgres'),
    ['-D', data, '-k', folder, '-c', 'listen_addresses=', '-c', 'max_wal_size=8MB', '-c', 'min_wal_size=2MB'],
    {
      ...as,
      cwd: folder,
      stdio: 'ignore',
    },
  );
  const addressOf = (name: string): string => `postgres:///${name}?host=${folder}&user=owner`;
  await untilAnswering(addressOf('postgres'), server);
  let count = 0;
  return {
    async newDatabase(within) {
      const name = `test_${++count}`;
      let where = '';
      if (within !== undefined) {
        if (user !== null) chownSync(within, user.uid, user.gid);
        await run(addressOf('postgres'), `create tablespace place_${name} location '${within}'`);
        where = ` tablespace place_${name}`;
      }
      await run(addressOf('postgres'), `create database ${name}${where}`);
      return addressOf(name);
    },
    async stop() {
      const ended = new Promise((done) => server.once('exit', done));
      server.kill('SIGINT');
      await ended;
      for (const each of [folder, data]) rmSync(each, { recursive: true, force: true });
    },
  };
}

/** One statement over a connection of its own. */
export async function run(address: string, statement: string): Promise<readonly Record<string, unknown>[]> {
  const client = new pg.Client({ connectionString: address });
  await client.connect();
  try {
    return (await client.query<Record<string, unknown>>(statement)).rows;
  } finally {
    await client.end();
  }
}

async function untilAnswering(address: string, server: ChildProcess): Promise<void> {
  for (let tries = 0; tries < 600; tries++) {
    if (server.exitCode !== null) throw new Error(`the server ended with ${server.exitCode}`);
    try {
      await run(address, 'select 1');
      return;
    } catch {
      await wait(100);
    }
  }
  throw new Error('the server did not answer within a minute');
}

/** The server refuses to run for root; any other user will do. Null when we are one already. */
function ordinaryUser(): { readonly uid: number; readonly gid: number } | null {
  if (process.getuid?.() !== 0) return null;
  const id = (flag: string): number =>
    Number(
      spawnSync('id', [flag, 'postgres'], { encoding: 'utf8' }).stdout ||
        spawnSync('id', [flag, 'nobody'], { encoding: 'utf8' }).stdout,
    );
  return { uid: id('-u'), gid: id('-g') };
}
