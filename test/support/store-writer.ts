// A process that writes into a store as fast as it can, to be killed: it says what it found, and every write once it is acknowledged.
import { createHash, randomBytes } from 'node:crypto';
import { readFileSync, writeSync } from 'node:fs';
import { setFlagsFromString } from 'node:v8';
import { openStore } from '../../src/store/open-store.ts';
import type { Store } from '../../src/store/store.ts';

/** One line each on the standard output. `found` comes first. */
export type WriterLine =
  | { readonly say: 'refused'; readonly code: string; readonly why: string }
  | {
      readonly say: 'found';
      readonly builds: readonly FoundBuild[];
      readonly files: readonly string[];
      readonly kept: number;
    }
  | { readonly say: 'begun' | 'removing'; readonly id: string }
  | { readonly say: 'changed'; readonly id: string; readonly number: number; readonly value: string }
  | { readonly say: 'stepped'; readonly id: string; readonly stands: number }
  | { readonly say: 'file'; readonly sha256: string }
  | { readonly say: 'kept'; readonly revision: number };

export interface FoundBuild {
  readonly id: string;
  readonly stands: number;
  /** Of each version in order: number, the one it was made from, its value. */
  readonly versions: readonly (readonly [number: number, from: number | null, value: string])[];
}

// It lives for a moment: compiling the database for speed would cost more than it saves.
setFlagsFromString('--liftoff-only');

const WRITERS = 3;
/** A build with more versions makes room for a new one, so that every opening has little to show. */
const MOST_VERSIONS = 20;

if (process.argv[2] !== undefined) await write(process.argv[2], process.argv[3]!, process.argv.slice(4));

/** `files`: hashes that were acknowledged to an earlier writer. */
async function write(dataFolder: string, newDatabase: string, files: readonly string[]): Promise<void> {
  const opened = await openStore({ dataFolder, newDatabase });
  if (!opened.ok) {
    say({ say: 'refused', code: opened.code, why: opened.why });
    process.exit(3);
  }
  const store = opened.value;
  store.noteAddress('http://127.0.0.1:1/');
  say({
    say: 'found',
    builds: await builds(store),
    files: files.filter((hash) => isWhole(store, hash)),
    kept: await revision(store),
  });
  const ids: string[] = [];
  for (const { id } of await store.listBuilds()) {
    if ((await store.versions(id)).length <= MOST_VERSIONS) ids.push(id);
    else {
      say({ say: 'removing', id });
      await store.removeBuild(id);
    }
  }
  while (ids.length < WRITERS) {
    const { id } = await store.addBuild({ build: { value: '1', ballast: randomBytes(3000).toString('base64') } });
    say({ say: 'begun', id });
    ids.push(id);
  }
  await Promise.all([
    ...ids.slice(0, WRITERS).map((id) => changeForEver(store, id)),
    takeForEver(store),
    keepForEver(store),
  ]);
}

async function changeForEver(store: Store, id: string): Promise<never> {
  for (let count = 0; ; count++) {
    const { version } = (await store.getBuild(id))!;
    if (count % 7 === 6) {
      const stepped = await store.stepBuild(id, count % 2 === 0 ? 'undo' : 'redo', 1);
      say({ say: 'stepped', id, stands: stepped!.version });
      continue;
    }
    const value = randomBytes(8).toString('hex');
    const build = { value, ballast: randomBytes(3000).toString('base64') };
    const changed = await store.changeBuild(id, { from: version, build, path: 'x', kind: 'set' });
    if (typeof changed !== 'object') throw new Error('nobody else writes here');
    say({ say: 'changed', id, number: changed.version, value });
  }
}

async function takeForEver(store: Store): Promise<never> {
  for (;;) {
    const taken = await store.takeFile(randomBytes(20_000), 1e6);
    if (taken === 'too large') throw new Error('it is not');
    say({ say: 'file', sha256: taken.sha256 });
  }
}

async function keepForEver(store: Store): Promise<never> {
  for (;;) {
    const kept = await store.keep('maker', 'me', await revision(store), (next) => ({ revision: next }));
    if (kept === 'outdated') throw new Error('nobody else keeps here');
    say({ say: 'kept', revision: kept.revision });
  }
}

async function revision(store: Store): Promise<number> {
  return (await store.kept('maker'))[0]?.revision ?? 0;
}

async function builds(store: Store): Promise<FoundBuild[]> {
  const found: FoundBuild[] = [];
  for (const { id, version } of await store.listBuilds()) {
    const versions: FoundBuild['versions'][number][] = [];
    for (const { number, from } of await store.versions(id)) {
      const { build } = (await store.version(id, number))!;
      versions.push([number, from, (build as { value: string }).value]);
    }
    found.push({ id, stands: version, versions });
  }
  return found;
}

function isWhole(store: Store, hash: string): boolean {
  const path = store.filePath(hash);
  return path !== undefined && createHash('sha256').update(readFileSync(path)).digest('hex') === hash;
}

/** At once and whole, whatever happens to the process next. */
function say(line: WriterLine): void {
  writeSync(1, `${JSON.stringify(line)}\n`);
}
