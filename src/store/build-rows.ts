// Builds and their versions in the tables. A version is only ever added, so any of them can stand again.
import { randomUUID } from 'node:crypto';
import { type Kysely, sql, type Transaction } from 'kysely';
import { invariant } from '../base/invariant.ts';
import type { Write } from './database.ts';
import type { Store, StoredBuild, Version } from './store.ts';
import { SCHEMA, type Tables } from './tables.ts';

type Within = Kysely<Tables> | Transaction<Tables>;
type BuildRows = Pick<
  Store,
  | 'listBuilds'
  | 'getBuild'
  | 'addBuild'
  | 'changeBuild'
  | 'stepBuild'
  | 'versions'
  | 'version'
  | 'removeBuild'
  | 'keepCard'
>;

/** What the program gives as an id; anything else names no build. */
const ID = /^[A-Za-z0-9_-]{1,128}$/;
const LATER = sql<string>`nextval('helmwright.change_order')`;

/** Whether a version of some build is of the model with this hash. Looked for in the text: taking JSON apart fails on a NUL in a name. */
export async function isNamed(read: Kysely<Tables>, sha256: string): Promise<boolean> {
  const named = await read
    .withSchema(SCHEMA)
    .selectFrom('versions')
    .select('number')
    .where(sql<boolean>`position(${sha256} in whole::text) > 0`)
    .limit(1)
    .executeTakeFirst();
  return named !== undefined;
}

export function buildRows(read: Kysely<Tables>, write: Write): BuildRows {
  return {
    listBuilds: () =>
      standing(read)
        .orderBy('builds.changed_no', 'desc')
        .execute()
        .then((rows) => rows.map(storedOf)),
    getBuild: (id) => (ID.test(id) ? find(read, id) : Promise.resolve(undefined)),
    async addBuild(first) {
      const now = new Date();
      const whole: Begun =
        'build' in first
          ? {
              versions: [
                { number: 1, from: null, kind: 'begun', path: '', madeAt: now.toISOString(), build: first.build },
              ],
              stands: 1,
              redo: [],
            }
          : { ...first, redo: [] };
      const id = randomUUID();
      return write((within) => insertBuild(within, { ...whole, id, changedAt: now }));
    },
    changeBuild: (id, { from, build, path, kind }) =>
      write(async (within) => {
        const held = await hold(within, id);
        if (held === undefined) return undefined;
        if (held.stands !== from) return 'outdated';
        const made = new Date();
        const number = (await lastNumber(within, id)) + 1;
        await within
          .withSchema(SCHEMA)
          .insertInto('versions')
          .values({ build: id, number, made_from: from, kind, path, made_at: made, whole: JSON.stringify(build) })
          .execute();
        await stand(within, id, { stands: number, redo: [], changedAt: made });
        return find(within, id);
      }),
    stepBuild: (id, way, steps) =>
      write(async (within) => {
        const held = await hold(within, id);
        if (held === undefined) return undefined;
        const to = way === 'undo' ? await undone(within, id, held, steps) : redone(held, steps);
        if (to.stands !== held.stands) await stand(within, id, { ...to, changedAt: new Date() });
        return find(within, id);
      }),
    async versions(id) {
      if (!ID.test(id)) return [];
      const rows = await read
        .withSchema(SCHEMA)
        .selectFrom('versions')
        .select(['number', 'made_from', 'kind', 'path', 'made_at'])
        .where('build', '=', id)
        .orderBy('number')
        .execute();
      return rows.map(headOf);
    },
    async version(id, number) {
      if (!ID.test(id) || !isNumber(number)) return undefined;
      const row = await read
        .withSchema(SCHEMA)
        .selectFrom('versions')
        .selectAll()
        .where('build', '=', id)
        .where('number', '=', number)
        .executeTakeFirst();
      return row === undefined ? undefined : { ...headOf(row), build: row.whole };
    },
    async removeBuild(id) {
      if (!ID.test(id)) return;
      await write((within) => within.withSchema(SCHEMA).deleteFrom('builds').where('id', '=', id).execute());
    },
    async keepCard(id, card) {
      if (!ID.test(id)) return;
      const kept = JSON.stringify(card);
      await write((within) =>
        within.withSchema(SCHEMA).updateTable('builds').set({ card: kept }).where('id', '=', id).execute(),
      );
    },
  };
}

export interface Begun {
  readonly versions: readonly Version[];
  readonly stands: number;
  readonly redo: readonly number[];
}

/** A build with all its versions at once. */
export async function insertBuild(
  within: Transaction<Tables>,
  { id, versions, stands, redo, changedAt }: Begun & { readonly id: string; readonly changedAt: Date },
): Promise<StoredBuild> {
  for (const [index, { number, from }] of versions.entries())
    invariant(
      number === index + 1 && (from === null || (from >= 1 && from < number)),
      'versions of a build count from 1, and each is made from an earlier one',
    );
  invariant(stands >= 1 && stands <= versions.length, 'the version that stands is one of them');
  const begun = new Date(versions[0]!.madeAt);
  await within
    .withSchema(SCHEMA)
    .insertInto('builds')
    .values({ id, stands, redo: JSON.stringify(redo), card: 'null', begun_at: begun, changed_at: changedAt })
    .execute();
  for (const { number, from, kind, path, madeAt, build } of versions)
    await within
      .withSchema(SCHEMA)
      .insertInto('versions')
      .values({
        build: id,
        number,
        made_from: from,
        kind,
        path,
        made_at: new Date(madeAt),
        whole: JSON.stringify(build),
      })
      .execute();
  return (await find(within, id))!;
}

interface Held {
  readonly stands: number;
  readonly redo: readonly number[];
}

/** Holds the build against other writers until the transaction ends. */
async function hold(within: Transaction<Tables>, id: string): Promise<Held | undefined> {
  if (!ID.test(id)) return undefined;
  return within
    .withSchema(SCHEMA)
    .selectFrom('builds')
    .select(['stands', 'redo'])
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst();
}

async function lastNumber(within: Transaction<Tables>, id: string): Promise<number> {
  const { last } = await within
    .withSchema(SCHEMA)
    .selectFrom('versions')
    .select(({ fn }) => fn.max('number').as('last'))
    .where('build', '=', id)
    .executeTakeFirstOrThrow();
  return last;
}

async function undone(within: Transaction<Tables>, id: string, held: Held, steps: number): Promise<Held> {
  const rows = await within
    .withSchema(SCHEMA)
    .selectFrom('versions')
    .select(['number', 'made_from'])
    .where('build', '=', id)
    .execute();
  const madeFrom = new Map(rows.map(({ number, made_from }) => [number, made_from]));
  let { stands } = held;
  const redo = [...held.redo];
  for (let step = 0; step < steps; step++) {
    const from = madeFrom.get(stands) ?? null;
    if (from === null) break;
    redo.push(stands);
    stands = from;
  }
  return { stands, redo };
}

function redone(held: Held, steps: number): Held {
  const redo = [...held.redo];
  let { stands } = held;
  for (let step = 0; step < steps; step++) stands = redo.pop() ?? stands;
  return { stands, redo };
}

async function stand(
  within: Transaction<Tables>,
  id: string,
  { stands, redo, changedAt }: Held & { readonly changedAt: Date },
): Promise<void> {
  await within
    .withSchema(SCHEMA)
    .updateTable('builds')
    .set({ stands, redo: JSON.stringify(redo), changed_at: changedAt, changed_no: LATER })
    .where('id', '=', id)
    .execute();
}

function standing(within: Within) {
  return within
    .withSchema(SCHEMA)
    .selectFrom('builds')
    .innerJoin('versions', (join) =>
      join.onRef('versions.build', '=', 'builds.id').onRef('versions.number', '=', 'builds.stands'),
    )
    .select(['builds.id', 'builds.stands', 'builds.redo', 'builds.card', 'builds.begun_at', 'builds.changed_at'])
    .select(['versions.made_from', 'versions.whole']);
}

async function find(within: Within, id: string): Promise<StoredBuild | undefined> {
  const row = await standing(within).where('builds.id', '=', id).executeTakeFirst();
  return row === undefined ? undefined : storedOf(row);
}

function storedOf(row: {
  readonly id: string;
  readonly stands: number;
  readonly redo: readonly number[];
  readonly card: unknown;
  readonly begun_at: Date;
  readonly changed_at: Date;
  readonly made_from: number | null;
  readonly whole: unknown;
}): StoredBuild {
  return {
    id: row.id,
    build: row.whole,
    version: row.stands,
    canUndo: row.made_from !== null,
    canRedo: row.redo.length > 0,
    changedAt: row.changed_at.toISOString(),
    begunAt: row.begun_at.toISOString(),
    card: row.card,
  };
}

function headOf(row: {
  readonly number: number;
  readonly made_from: number | null;
  readonly kind: Version['kind'];
  readonly path: string;
  readonly made_at: Date;
}): Omit<Version, 'build'> {
  return {
    number: row.number,
    from: row.made_from,
    kind: row.kind,
    path: row.path,
    madeAt: row.made_at.toISOString(),
  };
}

function isNumber(number: number): boolean {
  return Number.isInteger(number) && number >= 1 && number <= 2 ** 31 - 1;
}
