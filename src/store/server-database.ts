// A PostgreSQL server's database, by the address in DATABASE_URL.
import { Kysely, PostgresDialect, sql } from 'kysely';
import { done, type Outcome, type Refusal, refuse } from '../base/findings.ts';
import type { Database } from './database.ts';
import type { Tables } from './tables.ts';

/** The oldest server that the suite runs on. */
const OLDEST_MAJOR = 15;
const ANSWER_WITHIN_MS = 10_000;

/** Refuses: DATABASE_UNREACHED, with the place but never the password. */
export async function openServerDatabase(address: string): Promise<Outcome<Database>> {
  const place = placeOf(address);
  if (place === null)
    return refuse('DATABASE_UNREACHED', 'DATABASE_URL is not an address like postgres://user@host:5432/name.');
  const { default: pg } = await import('pg');
  const pool = new pg.Pool({
    connectionString: address,
    max: 8,
    connectionTimeoutMillis: ANSWER_WITHIN_MS,
    application_name: 'helmwright',
  });
  // A connection that breaks has left the pool already, and whoever was using it is told by the query; the event itself, unheard,
  // would end the process.
  const heard = (): void => undefined;
  pool.on('error', heard);
  pool.on('connect', (client) => client.on('error', heard));
  const tables = new Kysely<Tables>({ dialect: new PostgresDialect({ pool }) });
  const refusal = await refusalOf(tables, place);
  if (refusal !== null) {
    await tables.destroy();
    return refusal;
  }
  return done({ tables, ready: async () => undefined, close: () => tables.destroy() });
}

async function refusalOf(tables: Kysely<Tables>, place: string): Promise<Refusal | null> {
  try {
    const { rows } = await sql<{ version: number }>`
      select current_setting('server_version_num')::int as version`.execute(tables);
    const major = Math.floor((rows[0]?.version ?? 0) / 10_000);
    if (major >= OLDEST_MAJOR) return null;
    return refuse(
      'DATABASE_UNREACHED',
      `The server at ${place} is PostgreSQL ${major}; at least ${OLDEST_MAJOR} is needed.`,
    );
  } catch (error) {
    return refuse('DATABASE_UNREACHED', `The database at ${place} does not answer: ${reasonOf(error)}.`);
  }
}

/** "host:port/name"; null when the address is none. */
function placeOf(address: string): string | null {
  try {
    const { protocol, hostname, port, pathname, searchParams } = new URL(address);
    if (protocol !== 'postgres:' && protocol !== 'postgresql:') return null;
    const host = searchParams.get('host') ?? (hostname || 'localhost');
    return `${host}${port === '' ? '' : `:${port}`}${decodeURIComponent(pathname)}`;
  } catch {
    return null;
  }
}

/** The server's words never hold a password, those of an address might: they are not repeated. */
function reasonOf(error: unknown): string {
  const { code, message, errors } = error as NodeJS.ErrnoException & { readonly errors?: readonly unknown[] };
  if (errors?.[0] !== undefined) return reasonOf(errors[0]);
  if (code === undefined)
    return message.includes('timeout') ? `no answer within ${ANSWER_WITHIN_MS / 1000} s` : message;
  if (code === 'ECONNREFUSED') return 'nothing listens there';
  if (code === 'ENOTFOUND' || code === 'EAI_AGAIN') return 'the host is not known';
  if (code === 'ENOENT') return 'there is no socket of a server';
  return `${message} (${code})`;
}
