// What the store needs of a database, whichever it is: the embedded one or a server's.
import type { Kysely, Transaction } from 'kysely';
import type { Tables } from './tables.ts';

export interface Database {
  readonly tables: Kysely<Tables>;
  /** Before every write: makes sure that there is room for one and that nothing has to be tidied first. Throws when the disk is full. */
  ready(): Promise<void>;
  close(): Promise<void>;
}

/** Runs all of it in one transaction: whole and on disk when it resolves, or as if it had never been. */
export type Write = <T>(run: (within: Transaction<Tables>) => Promise<T>) => Promise<T>;
