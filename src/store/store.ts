// What the program keeps between runs, behind one interface: a database for what people decide, files by content hash for the rest.
import type { Readable } from 'node:stream';

/** A build as it stands now. */
export interface StoredBuild {
  readonly id: string;
  /** The build file as JSON; checked by whoever reads it. */
  readonly build: unknown;
  /** Number of the version that stands; versions of a build count from 1 and are never rewritten. */
  readonly version: number;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** ISO time of the last change, and of the first version. */
  readonly changedAt: string;
  readonly begunAt: string;
  /** Whatever the app last kept beside it with {@link Store.keepCard}; null at first. */
  readonly card: unknown;
}

/** How a version came about. `path`: what was set, or '' when it was the whole build. */
export interface VersionHead {
  readonly number: number;
  /** The version it was made from; null for the first. */
  readonly from: number | null;
  readonly kind: 'begun' | 'set' | 'restored';
  readonly path: string;
  readonly madeAt: string;
}
export interface Version extends VersionHead {
  readonly build: unknown;
}

/** A record of the workshop. `revision` rises with every change; the record itself carries it too. */
export interface Kept {
  readonly id: string;
  readonly revision: number;
  readonly record: unknown;
}

export type WorkshopKind = 'machine' | 'material' | 'maker';

/** Every write is whole or not at all, and on disk when its promise resolves. Ids and hashes are made by the program, never taken
 *  from outside names. Throws StoreFull when the disk takes no more; what was kept before stays whole. */
export interface Store {
  /** Newest change first. */
  listBuilds(): Promise<readonly StoredBuild[]>;
  getBuild(id: string): Promise<StoredBuild | undefined>;
  /** A new build of one version, or of all `versions` when it is taken in from elsewhere (numbers 1.. in order; the last one stands
   *  unless `stands` names another). */
  addBuild(
    first: { readonly build: unknown } | { readonly versions: readonly Version[]; readonly stands: number },
  ): Promise<StoredBuild>;
  /** Adds a version made from the one that stands. 'outdated' when another one stands than `from`; nothing is written then. */
  changeBuild(
    id: string,
    change: {
      readonly from: number;
      readonly build: unknown;
      readonly path: string;
      readonly kind: 'set' | 'restored';
    },
  ): Promise<StoredBuild | 'outdated' | undefined>;
  /** Up to `steps` steps; fewer when there are fewer. Undo goes to the version that the standing one was made from; redo back. */
  stepBuild(id: string, way: 'undo' | 'redo', steps: number): Promise<StoredBuild | undefined>;
  /** All versions, oldest first. */
  versions(id: string): Promise<readonly VersionHead[]>;
  version(id: string, number: number): Promise<Version | undefined>;
  removeBuild(id: string): Promise<void>;
  /** Keeps a small JSON beside the build (its summary and thumbnail); not a change of the build. */
  keepCard(id: string, card: unknown): Promise<void>;

  /** Records of the workshop of one kind, in the order they were added. */
  kept(kind: WorkshopKind): Promise<readonly Kept[]>;
  /** Adds or replaces a record when `revision` is the one that is kept (0: none yet); 'outdated' otherwise. `recordAt` gets the new
   *  revision and gives the record to keep. */
  keep(
    kind: WorkshopKind,
    id: string,
    revision: number,
    recordAt: (revision: number) => unknown,
  ): Promise<Kept | 'outdated'>;
  forget(kind: WorkshopKind, id: string): Promise<void>;

  /** Streams a file in and keeps it under the SHA-256 of its bytes. 'too large' beyond `mostBytes`: nothing is left of it. */
  takeFile(
    from: Readable | Uint8Array,
    mostBytes: number,
  ): Promise<{ readonly sha256: string; readonly bytes: number } | 'too large'>;
  /** Removes a kept file, unless a version of some build names it or it was taken in less than `idleMs` ago: a build may be about to
   *  be added for it. */
  dropFile(sha256: string, idleMs: number): Promise<void>;
  /** Absolute path of a kept file, for whoever reads it in another thread; undefined when there is none. */
  filePath(sha256: string): string | undefined;

  /** Says where the page of this process is, for the refusal that another process gets when it wants the same data folder. */
  noteAddress(address: string): void;
  close(): Promise<void>;
}

/** Results and meshes, by fingerprint or content hash; losing one costs time, never work. */
export interface Shelf {
  get(key: string): Uint8Array | undefined;
  put(key: string, bytes: Uint8Array): void;
}

/** The disk (or the database's) took no more. */
export class StoreFull extends Error {
  constructor(cause: unknown) {
    super('the disk is full', { cause });
    this.name = 'StoreFull';
  }
}
