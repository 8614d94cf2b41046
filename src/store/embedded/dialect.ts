// Queries over the embedded database. Each transaction holds it alone: a plain BEGIN on the one connection would let the writes of
// others into it, to vanish with its rollback.
import type { PGlite, Transaction } from '@electric-sql/pglite';
import {
  type CompiledQuery,
  type DatabaseConnection,
  type Dialect,
  type Driver,
  PostgresAdapter,
  PostgresIntrospector,
  PostgresQueryCompiler,
  type QueryResult,
} from 'kysely';

export interface Living {
  readonly database: PGlite;
  /** Is shown every error of the database and gives the one to throw. */
  readonly explain: (error: unknown) => unknown;
}

/** Gives the database that lives now; called anew for every query and every transaction. */
export type LivingDatabase = () => Promise<Living>;

export function embeddedDialect(living: LivingDatabase): Dialect {
  return {
    createAdapter: () => new PostgresAdapter(),
    createQueryCompiler: () => new PostgresQueryCompiler(),
    createIntrospector: (database) => new PostgresIntrospector(database),
    createDriver: () => embeddedDriver(living),
  };
}

function embeddedDriver(living: LivingDatabase): Driver {
  const nothing = async (): Promise<void> => undefined;
  return {
    init: nothing,
    acquireConnection: async () => new Connection(living),
    beginTransaction: (connection) => (connection as Connection).begin(),
    commitTransaction: (connection) => (connection as Connection).commit(),
    rollbackTransaction: (connection) => (connection as Connection).rollback(),
    releaseConnection: nothing,
    destroy: nothing,
  };
}

interface Open {
  readonly inside: Transaction;
  readonly explain: Living['explain'];
  readonly commit: () => void;
  readonly rollback: (reason: RolledBack) => void;
}

class RolledBack extends Error {}

class Connection implements DatabaseConnection {
  readonly #living: LivingDatabase;
  #open: Open | null = null;
  /** Settles when the transaction has ended in the database. */
  #ended: Promise<void> = Promise.resolve();

  constructor(living: LivingDatabase) {
    this.#living = living;
  }

  async executeQuery<R>({ sql, parameters }: CompiledQuery): Promise<QueryResult<R>> {
    const { target, explain } = await this.#target();
    try {
      const { rows, affectedRows } = await target.query<R>(sql, [...parameters]);
      return affectedRows === undefined ? { rows } : { rows, numAffectedRows: BigInt(affectedRows) };
    } catch (error) {
      throw explain(error);
    }
  }

  // biome-ignore lint/correctness/useYield: the interface asks for it, and nothing here streams
  async *streamQuery<R>(): AsyncIterableIterator<QueryResult<R>> {
    throw new Error('the embedded database does not stream');
  }

  async begin(): Promise<void> {
    const { database, explain } = await this.#living();
    await new Promise<void>((begun, failed) => {
      const hold = (inside: Transaction): Promise<void> =>
        new Promise((commit, rollback) => {
          this.#open = { inside, explain, commit, rollback };
          begun();
        });
      this.#ended = database.transaction(hold).catch((error: unknown) => {
        throw explain(error);
      });
      this.#ended.catch(failed);
    });
  }

  async commit(): Promise<void> {
    this.#take().commit();
    await this.#ended;
  }

  async rollback(): Promise<void> {
    // A commit that failed has ended the transaction already.
    if (this.#open === null) return;
    const reason = new RolledBack('rolled back');
    this.#take().rollback(reason);
    await this.#ended.catch((error: unknown) => {
      if (error !== reason) throw error;
    });
  }

  async #target(): Promise<{ readonly target: PGlite | Transaction; readonly explain: Living['explain'] }> {
    if (this.#open !== null) return { target: this.#open.inside, explain: this.#open.explain };
    const { database, explain } = await this.#living();
    return { target: database, explain };
  }

  #take(): Open {
    const open = this.#open;
    if (open === null) throw new Error('no transaction has begun');
    this.#open = null;
    return open;
  }
}
