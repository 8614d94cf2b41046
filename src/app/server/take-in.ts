// A build that was taken out before comes back from its archive. Nothing in the archive is believed: names, sizes, hashes, versions.
import { createHash } from 'node:crypto';
import { Readable } from 'node:stream';
import { crc32, createInflateRaw } from 'node:zlib';
import { canonicalJson } from '../../base/canonical-json.ts';
import { done, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import {
  isStored,
  listZip,
  packedEntry,
  unpackEntry,
  type ZipEntry,
  type ZipLimits,
} from '../../documents/zip/read-zip.ts';
import type { Store, Version } from '../../store/store.ts';
import { type Build, readBuild } from '../../workshop/book/build-file.ts';
import type { NewBuild } from '../api/api.ts';
import { ARCHIVE_NAMES, Log, LogHead, modelEntry } from './archive-form.ts';
import type { HouseEvents } from './house-events.ts';
import { cardOf } from './shelf-cards.ts';

/** Limits of the parts. A log repeats itself, so it may unpack to many times its size; what it unpacks to is bounded. */
const BUILD_LIMITS: ZipLimits = { maxUnpackedBytes: 1e6, maxRatio: 250, maxEntries: 16 };
const LOG_LIMITS: ZipLimits = { maxUnpackedBytes: 100e6, maxRatio: 2000, maxEntries: 16 };

export interface TakeInMeans {
  readonly store: Store;
  readonly house: HouseEvents;
  /** Most bytes of a model. */
  readonly mostBytes: number;
}

/** Refuses ARCHIVE_INVALID with what does not hold, and FILE_TOO_LARGE; nothing is kept then. */
export async function takeInArchive(
  { store, house, mostBytes }: TakeInMeans,
  archive: Uint8Array,
): Promise<Outcome<NewBuild>> {
  const parts = partsOf(archive);
  if (!parts.ok) return parts;
  const build = buildIn(archive, parts.value.build);
  if (!build.ok) return build;
  const log = logIn(archive, parts.value.log, build.value);
  if (!log.ok) return log;
  const kept = await keepModel(store, archive, { entry: parts.value.model, build: build.value, mostBytes });
  if (kept !== null) return kept;
  const stored = await store.addBuild(log.value);
  house.tell({ event: 'shelf', data: cardOf(stored, undefined) });
  return done({ id: stored.id });
}

interface Parts {
  readonly build: ZipEntry;
  readonly log: ZipEntry;
  readonly model: ZipEntry;
}

/** Exactly the parts that are written, each once. */
function partsOf(archive: Uint8Array): Outcome<Parts> {
  const listed = listZip(archive, BUILD_LIMITS);
  if (!listed.ok) return asArchive(listed);
  const named = (name: string): ZipEntry[] => listed.value.filter((entry) => entry.name === name);
  const models = listed.value.filter(({ name }) => name.startsWith(ARCHIVE_NAMES.model));
  const strange = listed.value.find(
    (entry) => !models.includes(entry) && !(Object.values(ARCHIVE_NAMES) as string[]).includes(entry.name),
  );
  if (strange !== undefined) return invalid(`It holds ${quoted(strange.name)}, which is no part of a build.`);
  const [build, ...moreBuilds] = named(ARCHIVE_NAMES.build);
  const [log, ...moreLogs] = named(ARCHIVE_NAMES.log);
  const [model, ...moreModels] = models;
  if (build === undefined) return invalid(`It has no ${ARCHIVE_NAMES.build}.`);
  if (log === undefined) return invalid(`It has no ${ARCHIVE_NAMES.log}.`);
  if (model === undefined) return invalid(`It has no model in ${ARCHIVE_NAMES.model}.`);
  if (moreBuilds.length + moreLogs.length + moreModels.length > 0) return invalid('One of its parts is there twice.');
  return done({ build, log, model });
}

function buildIn(archive: Uint8Array, entry: ZipEntry): Outcome<unknown> {
  const json = jsonIn(archive, entry, BUILD_LIMITS);
  if (!json.ok) return json;
  const read = readBuild(json.value);
  return read.ok ? json : invalid(`${ARCHIVE_NAMES.build}: ${read.why}`);
}

type Taken = { readonly versions: readonly Version[]; readonly stands: number };

function logIn(archive: Uint8Array, entry: ZipEntry, build: unknown): Outcome<Taken> {
  const json = jsonIn(archive, entry, LOG_LIMITS);
  if (!json.ok) return json;
  const head = LogHead.loose().safeParse(json.value);
  if (!head.success) return invalid(`${ARCHIVE_NAMES.log} does not begin as a log of a build does.`);
  const log = Log.safeParse(json.value);
  if (!log.success) {
    const issue = log.error.issues[0];
    return invalid(`${ARCHIVE_NAMES.log}, ${issue?.path.join('.') ?? ''}: ${issue?.message ?? 'does not hold'}.`);
  }
  const { versions, stands } = log.data;
  const model = (build as Build).model.sha256;
  for (const [index, version] of versions.entries()) {
    const trouble = versionTrouble(version, { number: index + 1, model });
    if (trouble !== null) return invalid(`${ARCHIVE_NAMES.log}, version ${index + 1}: ${trouble}`);
  }
  const standing = versions[stands - 1];
  if (standing === undefined) return invalid(`The version that stands, ${stands}, is not in ${ARCHIVE_NAMES.log}.`);
  if (canonicalJson(standing.build) !== canonicalJson(build))
    return invalid(`${ARCHIVE_NAMES.build} is not the version ${stands} of ${ARCHIVE_NAMES.log} that stands.`);
  return done({ versions, stands });
}

function versionTrouble(version: Version, { number, model }: { number: number; model: string }): string | null {
  if (version.number !== number) return `it has the number ${version.number}.`;
  if (number === 1 ? version.from !== null : version.from === null || version.from >= number)
    return `it is made from ${version.from ?? 'nothing'}.`;
  const read = readBuild(version.build);
  if (!read.ok) return read.why;
  return read.value.model.sha256 === model ? null : 'it is a build of another model.';
}

/** Unpacked twice: once for its hash, and only when that is the build's, to where it stays. */
async function keepModel(
  store: Store,
  archive: Uint8Array,
  model: { readonly entry: ZipEntry; readonly build: unknown; readonly mostBytes: number },
): Promise<Refusal | null> {
  const { entry } = model;
  const build = model.build as Build;
  if (entry.name !== modelEntry(build))
    return invalid(`The model is ${quoted(entry.name)}; the build names ${quoted(modelEntry(build))}.`);
  const limits = { maxUnpackedBytes: model.mostBytes, maxRatio: 250, maxEntries: 16 };
  const packed = packedEntry(archive, entry, limits);
  if (!packed.ok) return asArchive(packed);
  const seen = await hashOf(unpacking(packed.value, entry), entry.unpackedBytes);
  if (seen === null) return invalid(`${quoted(entry.name)} does not unpack to ${entry.unpackedBytes} bytes.`);
  if (seen.crc !== entry.crc) return invalid(`The check sum of ${quoted(entry.name)} is wrong; it is damaged.`);
  if (seen.sha256 !== build.model.sha256)
    return invalid(
      `The model's hash begins ${seen.sha256.slice(0, 12)}, the build was made with ${build.model.sha256.slice(0, 12)}.`,
    );
  const kept = await store.takeFile(unpacking(packed.value, entry), entry.unpackedBytes);
  return kept !== 'too large' && kept.sha256 === build.model.sha256
    ? null
    : invalid('The model could not be unpacked.');
}

function unpacking(packed: Uint8Array, entry: ZipEntry): Readable {
  const source = Readable.from(blocksOf(packed), { objectMode: false });
  if (isStored(entry)) return source;
  const inflate = createInflateRaw();
  source.on('error', (error) => inflate.destroy(error));
  return source.pipe(inflate);
}

function* blocksOf(bytes: Uint8Array): Generator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += BLOCK_BYTES) yield bytes.subarray(at, at + BLOCK_BYTES);
}

const BLOCK_BYTES = 1 << 18;

/** Null when the data are broken or do not have exactly the bytes that are announced; stops as soon as there are more. */
async function hashOf(from: Readable, bytes: number): Promise<{ sha256: string; crc: number } | null> {
  const hash = createHash('sha256');
  let crc = 0;
  let seen = 0;
  try {
    for await (const chunk of from) {
      seen += (chunk as Buffer).length;
      if (seen > bytes) return null;
      hash.update(chunk as Buffer);
      crc = crc32(chunk as Buffer, crc);
    }
  } catch (error) {
    if (String((error as NodeJS.ErrnoException).code).startsWith('Z_')) return null;
    throw error;
  }
  return seen === bytes ? { sha256: hash.digest('hex'), crc } : null;
}

function jsonIn(archive: Uint8Array, entry: ZipEntry, limits: ZipLimits): Outcome<unknown> {
  const bytes = unpackEntry(archive, entry, limits);
  if (!bytes.ok) return asArchive(bytes);
  try {
    return done(JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes.value)) as unknown);
  } catch {
    return invalid(`${entry.name} is not JSON.`);
  }
}

/** What is wrong with the zip is wrong with the archive; only its size has a status of its own. */
function asArchive(refusal: Refusal): Refusal {
  return refusal.code === 'FILE_TOO_LARGE' ? refusal : invalid(refusal.why);
}

function invalid(why: string): Refusal {
  return refuse('ARCHIVE_INVALID', `This archive is no whole build. ${why}`);
}

function quoted(name: string): string {
  return JSON.stringify(name.slice(0, 60));
}
