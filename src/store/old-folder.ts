// Takes in what the version before kept as plain files: builds/ID.json with its undo and redo, models/HASH.
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Kysely } from 'kysely';
import { type Finding, finding } from '../base/findings.ts';
import { type Begun, insertBuild } from './build-rows.ts';
import type { Version } from './store.ts';
import { SCHEMA, type Tables } from './tables.ts';
import { syncFolder } from './whole-files.ts';

/** A build as the version before kept it; the last of `undo` and of `redo` comes next. */
interface OldBuild {
  readonly id: string;
  readonly build: unknown;
  readonly undo: readonly unknown[];
  readonly redo: readonly unknown[];
  readonly changed: string;
}

/** Models are moved, builds are written in one transaction, and only then is their folder renamed: after a kill at any moment the next
 *  opening does what is missing. The files of the builds stay, in builds-taken-in. Returns a finding for each that cannot be read. */
export async function takeInOldFolder(
  folder: string,
  filesFolder: string,
  database: Kysely<Tables>,
): Promise<readonly Finding[]> {
  moveModels(join(folder, 'models'), filesFolder);
  const builds = join(folder, 'builds');
  if (!existsSync(builds)) return [];
  const read = readdirSync(builds)
    .filter((name) => /^[A-Za-z0-9_-]{1,128}\.json$/.test(name))
    .map((name) => ({ name, build: readOld(join(builds, name)) }));
  const whole = read.flatMap(({ build }) => (build === undefined ? [] : [build]));
  whole.sort((a, b) => (a.changed < b.changed ? -1 : 1));
  await database.transaction().execute(async (within) => {
    const there = await within.withSchema(SCHEMA).selectFrom('builds').select('id').execute();
    const known = new Set(there.map(({ id }) => id));
    for (const old of whole)
      if (!known.has(old.id))
        await insertBuild(within, { ...versionsOf(old), id: old.id, changedAt: new Date(old.changed) });
  });
  const kept = freeName(join(folder, 'builds-taken-in'));
  renameSync(builds, kept);
  syncFolder(folder);
  return read
    .filter(({ build }) => build === undefined)
    .map(({ name }) =>
      finding('OLD_BUILD_UNREADABLE', `The old build ${join(kept, name)} cannot be read and was left where it is.`, {
        where: { path: join(kept, name) },
      }),
    );
}

function moveModels(from: string, to: string): void {
  if (!existsSync(from)) return;
  mkdirSync(to, { recursive: true });
  for (const name of readdirSync(from))
    if (/^[0-9a-f]{64}$/.test(name)) renameSync(join(from, name), join(to, name));
    else if (name.startsWith('.')) rmSync(join(from, name), { recursive: true, force: true });
  syncFolder(to);
  if (readdirSync(from).length === 0) rmdirSync(from);
}

function readOld(path: string): OldBuild | undefined {
  try {
    const { id, build, undo, redo, changed } = JSON.parse(readFileSync(path, 'utf8')) as Partial<OldBuild>;
    const right = Array.isArray(undo) && Array.isArray(redo) && typeof id === 'string' && build !== undefined;
    if (!right || !/^[A-Za-z0-9_-]{1,128}$/.test(id) || Number.isNaN(Date.parse(`${changed}`))) return undefined;
    return { id, build, undo, redo, changed: changed as string };
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/** One line of versions: what can be undone, what stands, what can be redone. When each was made nobody wrote down. */
function versionsOf({ build, undo, redo, changed }: OldBuild): Begun {
  const line = [...undo, build, ...redo.toReversed()];
  const versions = line.map(
    (each, index): Version => ({
      number: index + 1,
      from: index === 0 ? null : index,
      kind: index === 0 ? 'begun' : 'set',
      path: '',
      madeAt: new Date(changed).toISOString(),
      build: each,
    }),
  );
  const stands = undo.length + 1;
  return { versions, stands, redo: redo.map((_, index) => line.length - index) };
}

function freeName(path: string): string {
  for (let count = 1; ; count++) {
    const name = count === 1 ? path : `${path}-${count}`;
    if (!existsSync(name)) return name;
  }
}
