// Records of the workshop in the tables: each with a revision, so that two windows never overwrite one another unseen.
import type { Kysely } from 'kysely';
import type { Write } from './database.ts';
import type { Store } from './store.ts';
import { SCHEMA, type Tables } from './tables.ts';

export function keptRows(read: Kysely<Tables>, write: Write): Pick<Store, 'kept' | 'keep' | 'forget'> {
  return {
    kept: (kind) =>
      read
        .withSchema(SCHEMA)
        .selectFrom('kept')
        .select(['id', 'revision', 'record'])
        .where('kind', '=', kind)
        .orderBy('place')
        .execute(),
    async keep(kind, id, revision, recordAt) {
      const next = revision + 1;
      const record = recordAt(next);
      const text = JSON.stringify(record);
      // One statement each way, so that of two at once the second finds nothing to change and is outdated.
      const { numAffected } = await write(async (within) => {
        const tables = within.withSchema(SCHEMA);
        if (revision === 0) {
          const { numInsertedOrUpdatedRows } = await tables
            .insertInto('kept')
            .values({ kind, id, revision: next, record: text })
            .onConflict((conflict) => conflict.doNothing())
            .executeTakeFirstOrThrow();
          return { numAffected: numInsertedOrUpdatedRows ?? 0n };
        }
        const { numUpdatedRows } = await tables
          .updateTable('kept')
          .set({ revision: next, record: text })
          .where('kind', '=', kind)
          .where('id', '=', id)
          .where('revision', '=', revision)
          .executeTakeFirstOrThrow();
        return { numAffected: numUpdatedRows };
      });
      return numAffected === 1n ? { id, revision: next, record: JSON.parse(text) as unknown } : 'outdated';
    },
    async forget(kind, id) {
      await write((within) =>
        within.withSchema(SCHEMA).deleteFrom('kept').where('kind', '=', kind).where('id', '=', id).execute(),
      );
    },
  };
}
