// A whole build as one archive that can be read without this program: build file, model, log of all versions, and what they are.
import { done, type Outcome, refuse } from '../../base/findings.ts';
import type { Store, StoredBuild } from '../../store/store.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import { ARCHIVE_NAMES, type LogHead, modelEntry } from './archive-form.ts';
import { noBuild } from './sessions.ts';
import type { ZipPart } from './zip-stream.ts';

export interface Archive {
  readonly build: Build;
  readonly parts: AsyncIterable<ZipPart>;
}

/** The same build gives the same bytes of each part, wherever it was taken in. */
export async function archiveOf(store: Store, id: string): Promise<Outcome<Archive>> {
  const stored = await store.getBuild(id);
  if (stored === undefined) return noBuild(id);
  const build = readBuild(stored.build);
  if (!build.ok) return build;
  const path = store.filePath(build.value.model.sha256);
  if (path === undefined)
    return refuse('MODEL_MISSING', `The model file ${build.value.model.file} is no longer in the data folder.`);
  return done({ build: build.value, parts: partsOf(store, stored, { build: build.value, path }) });
}

async function* partsOf(
  store: Store,
  stored: StoredBuild,
  model: { readonly build: Build; readonly path: string },
): AsyncGenerator<ZipPart> {
  yield { name: ARCHIVE_NAMES.readme, from: readme(model.build) };
  yield { name: ARCHIVE_NAMES.build, from: `${JSON.stringify(stored.build, null, 2)}\n` };
  yield { name: modelEntry(model.build), from: { path: model.path } };
  yield { name: ARCHIVE_NAMES.log, from: await logOf(store, stored) };
}

/** One version a line, so that two logs can be compared line by line. */
async function logOf(store: Store, stored: StoredBuild): Promise<string> {
  const head: LogHead = { kind: 'helmwright-log', version: 1, stands: stored.version };
  const lines: string[] = [];
  for (const { number } of await store.versions(stored.id)) {
    const version = await store.version(stored.id, number);
    if (version === undefined) continue;
    const { from, kind, path, madeAt, build } = version;
    lines.push(JSON.stringify({ number, from, kind, path, madeAt, build }));
  }
  return `${JSON.stringify(head).slice(0, -1)},"versions":[\n${lines.join(',\n')}\n]}\n`;
}

function readme(build: Build): string {
  const parts = [
    [ARCHIVE_NAMES.build, 'every choice as it stands: JSON, lengths in mm, angles in degrees, times in seconds'],
    [modelEntry(build), 'the model file, byte for byte as it came; its SHA-256 is'],
    ['', build.model.sha256],
    [ARCHIVE_NAMES.log, 'every version with the time it was made (UTC), oldest first: "from" names the version it'],
    ['', 'was made from, "stands" the one that stands'],
  ] as const;
  const width = Math.max(...parts.map(([name]) => name.length));
  return [
    build.name,
    '',
    'One build of Helmwright, whole. All parts can be read without the program.',
    '',
    ...parts.map(([name, what]) => `  ${name.padEnd(width)}  ${what}`),
    '',
    'To go on with it, drop the archive on the shelf of the page.',
    '',
  ].join('\n');
}
