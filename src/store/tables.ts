// The tables of the store as the queries see them; src/store/migrations makes them.
import type { ColumnType } from 'kysely';

/** Written as JSON text, read as the value: the text itself stays as it was written (`json`, not `jsonb`). */
type Json = ColumnType<unknown, string, string>;

export interface Tables {
  readonly builds: {
    readonly id: string;
    /** Number of the version that stands. */
    readonly stands: number;
    /** Numbers of the versions that redo goes to; the next one is last. */
    readonly redo: ColumnType<number[], string, string>;
    readonly card: Json;
    readonly begun_at: Date;
    readonly changed_at: Date;
    /** Rises with every change, for an order that no clock can disturb. */
    readonly changed_no: ColumnType<string, never, string>;
  };
  readonly versions: {
    readonly build: string;
    /** From 1, without a gap. */
    readonly number: number;
    readonly made_from: number | null;
    readonly kind: 'begun' | 'set' | 'restored';
    readonly path: string;
    readonly made_at: Date;
    readonly whole: Json;
  };
  readonly kept: {
    readonly kind: 'machine' | 'material' | 'maker';
    readonly id: string;
    readonly revision: number;
    readonly record: Json;
    /** Rises with every record added. */
    readonly place: ColumnType<string, never, never>;
  };
}

/** All tables stand in a schema of their own, so that a database may be shared with other programs. */
export const SCHEMA = 'helmwright';
