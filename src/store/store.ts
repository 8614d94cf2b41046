// What the program keeps between runs, behind one interface. Today plain files; later a database holds the same.

/** A build as kept: its file, what can be undone and redone. */
export interface StoredBuild {
  readonly id: string;
  /** The build file as JSON; checked by whoever reads it. */
  readonly build: unknown;
  readonly undo: readonly unknown[];
  readonly redo: readonly unknown[];
  /** ISO time of the last change. */
  readonly changed: string;
}

/** Everything is written whole or not at all. Ids and hashes are made by the program, never taken from outside names. */
export interface Store {
  listBuilds(): readonly StoredBuild[];
  getBuild(id: string): StoredBuild | undefined;
  putBuild(build: StoredBuild): void;
  /** Bytes of a model file, by their SHA-256. */
  getModel(sha256: string): Uint8Array | undefined;
  putModel(sha256: string, bytes: Uint8Array): void;
}

/** Results and meshes, by fingerprint or content hash; losing one costs time, never work. */
export interface Shelf {
  get(key: string): Uint8Array | undefined;
  put(key: string, bytes: Uint8Array): void;
}
