// The files under the embedded database: flushed when it asks for it, given room when the disk is full, closed when it has stopped.
import { closeSync, fsyncSync } from 'node:fs';
import type { PGlite } from '@electric-sql/pglite';
import type { NodeFS } from '@electric-sql/pglite/nodefs';

/** The embedded database ended in the middle of something: what it had not finished will be undone when it is opened again. */
export class DatabaseStopped extends Error {
  constructor(why: string) {
    super(`the embedded database stopped: ${why}`);
    this.name = 'DatabaseStopped';
  }
}

export interface DatabaseFiles {
  /** What the database is opened with. */
  readonly files: NodeFS;
  /** Why it stopped; null while it lives. */
  stopped(): string | null;
  /** For whoever learns of the end in another way. */
  stop(why: string): void;
  /** Whether a write has found the disk full, without or in spite of the room given. */
  foundFull(): boolean;
  /** Closes what a stopped database left open. */
  closeAll(): void;
}

/** The parts of the running program that are touched here; see docs/methods/store.md for why. */
interface Running {
  readonly NODEFS: { readonly stream_ops: StreamOperations };
  readonly FS: { readonly streams: readonly ({ readonly nfd?: number } | null | undefined)[] };
  stackRestore: (pointer: number) => void;
  _PostgresMainLoopOnce: () => void;
  _PostgresSendReadyForQueryIfNecessary: () => void;
  _pgl_pq_flush: () => void;
}
interface StreamOperations {
  fsync?: (stream: { readonly nfd: number }) => number;
  write: (stream: object, buffer: Uint8Array, offset: number, length: number, position: number) => number;
}
type InitOptions = Parameters<NodeFS['init']>[1];

/** ENOSPC and EDQUOT as the database's own system numbers them. */
const FULL = new Set<unknown>([51, 19]);

export function databaseFiles(
  Files: typeof NodeFS,
  folder: string,
  /** Makes room when the disk is full; false when there is none to make. */
  makeRoom: () => boolean,
): DatabaseFiles {
  const files = new Files(folder);
  let running: Running | null = null;
  let why: string | null = null;
  let full = false;
  const stop = (reason: string): void => {
    why ??= reason;
    if (running !== null) silence(running, why);
  };
  const tellFull = (): boolean => {
    if (makeRoom()) return true;
    full = true;
    return false;
  };
  const init = files.init.bind(files);
  files.init = async (database: PGlite, options: InitOptions) => {
    const answer = await init(database, options);
    const { emscriptenOpts } = answer;
    const first = (module: Running): void => {
      running = module;
      const operations = module.NODEFS.stream_ops;
      operations.fsync = ({ nfd }) => {
        fsyncSync(nfd);
        return 0;
      };
      operations.write = wholeWrite(operations.write, tellFull);
    };
    emscriptenOpts.preRun = [...(emscriptenOpts.preRun ?? []), first as never];
    return {
      emscriptenOpts: {
        ...emscriptenOpts,
        onAbort: () => stop('it gave up'),
      },
    };
  };
  return {
    files,
    stopped: () => why,
    stop,
    foundFull: () => full,
    closeAll() {
      const open = running?.FS.streams.map((stream) => stream?.nfd).filter((handle) => handle !== undefined);
      for (const handle of new Set(open)) closeSync(handle);
    },
  };
}

/** Writes all of it or throws: the database takes a short write for a full disk at once, before room could be made. */
function wholeWrite(write: StreamOperations['write'], makeRoom: () => boolean): StreamOperations['write'] {
  return (stream, buffer, offset, length, position) => {
    let at = 0;
    while (at < length) {
      try {
        at += write(stream, buffer, offset + at, length - at, position + at);
      } catch (error) {
        if (!FULL.has((error as { errno?: unknown }).errno) || !makeRoom()) throw error;
      }
    }
    return at;
  };
}

/** After the database gave up, its memory is in no known state: whoever still calls gets an error and no code of it runs. */
function silence(module: Running, why: string): void {
  const nothing = (): void => undefined;
  const refuse = (): never => {
    throw new DatabaseStopped(why);
  };
  module._PostgresMainLoopOnce = refuse;
  module.stackRestore = refuse;
  module._PostgresSendReadyForQueryIfNecessary = nothing;
  module._pgl_pq_flush = nothing;
}
