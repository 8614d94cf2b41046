// Every change of the tables in order, and the door that brings a database up to them.
import { type Kysely, type Migration, Migrator, sql } from 'kysely';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { SCHEMA, type Tables } from '../tables.ts';
import { buildsAndWorkshop } from './0001-builds-and-workshop.ts';

/** Never rewritten: what has been published is followed by another one. */
const MIGRATIONS: Readonly<Record<string, Migration>> = {
  '0001-builds-and-workshop': buildsAndWorkshop,
};

/** All or none of what is missing, in one transaction; several processes wait for one another. Refuses: STORE_NEWER. */
export async function migrate(database: Kysely<Tables>): Promise<Outcome<null>> {
  const known = Object.keys(MIGRATIONS);
  const had = await stepsOf(database);
  const unknown = had.find((name) => !known.includes(name));
  if (unknown !== undefined)
    return refuse(
      'STORE_NEWER',
      `The database has had the step "${unknown}", which this version of the program does not know; the last it knows is "${known.at(-1)}".`,
    );
  // Asking for this is a third of a second quicker than letting the migrator find out.
  if (had.length === known.length) return done(null);
  const migrator = new Migrator({
    db: database,
    provider: { getMigrations: async () => ({ ...MIGRATIONS }) },
    migrationTableSchema: SCHEMA,
    migrationTableName: 'steps',
    migrationLockTableName: 'steps_lock',
  });
  const { error } = await migrator.migrateToLatest();
  if (error !== undefined) throw error;
  return done(null);
}

async function stepsOf(database: Kysely<Tables>): Promise<readonly string[]> {
  const { rows: there } = await sql<{ name: string | null }>`
    select to_regclass(${`${SCHEMA}.steps`})::text as name`.execute(database);
  if (there[0]?.name == null) return [];
  const { rows } = await sql<{ name: string }>`select name from helmwright.steps order by name desc`.execute(database);
  return rows.map(({ name }) => name);
}
