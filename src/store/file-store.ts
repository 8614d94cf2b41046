// The store as plain files in one data folder: builds/ID.json, models/HASH, cache/KEY.
import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Shelf, Store, StoredBuild } from './store.ts';
import { sweepStages, writeWholeFile } from './whole-files.ts';

const SAFE = /^[A-Za-z0-9_-]{1,128}$/;

export function openFileStore(folder: string): Store {
  for (const name of ['builds', 'models']) {
    mkdirSync(join(folder, name), { recursive: true });
    sweepStages(join(folder, name));
  }
  return {
    listBuilds: () =>
      readdirSync(join(folder, 'builds'))
        .filter((name) => name.endsWith('.json') && !name.startsWith('.'))
        .map((name) => readBuild(join(folder, 'builds', name)))
        .filter((build) => build !== undefined)
        .sort((a, b) => (a.changed < b.changed ? 1 : -1)),
    getBuild: (id) => (SAFE.test(id) ? readBuild(join(folder, 'builds', `${id}.json`)) : undefined),
    putBuild: (build) => writeWholeFile(join(folder, 'builds', `${safe(build.id)}.json`), JSON.stringify(build)),
    getModel: (sha256) => readIfThere(join(folder, 'models', safe(sha256))),
    putModel: (sha256, bytes) => {
      const path = join(folder, 'models', safe(sha256));
      if (!existsSync(path)) writeWholeFile(path, bytes);
    },
  };
}

export function openFileShelf(folder: string): Shelf {
  mkdirSync(folder, { recursive: true });
  sweepStages(folder);
  return {
    get: (key) => readIfThere(join(folder, safe(key))),
    put: (key, bytes) => {
      const path = join(folder, safe(key));
      if (!existsSync(path)) writeWholeFile(path, bytes);
    },
  };
}

function readBuild(path: string): StoredBuild | undefined {
  const bytes = readIfThere(path);
  return bytes === undefined ? undefined : (JSON.parse(new TextDecoder().decode(bytes)) as StoredBuild);
}

function readIfThere(path: string): Uint8Array | undefined {
  try {
    return readFileSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

function safe(key: string): string {
  if (!SAFE.test(key)) throw new Error(`not a key of the store: ${JSON.stringify(key.slice(0, 80))}`);
  return key;
}
