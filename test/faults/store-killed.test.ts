// A store killed at any moment under load has everything that was acknowledged, and can be had by the next process at once.
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as pause } from 'node:timers/promises';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { openStore } from '../../src/store/open-store.ts';
import { NEW_DATABASE } from '../support/store-places.ts';
import type { FoundBuild, WriterLine } from '../support/store-writer.ts';

/** The check kills thirty times, to stay within its time; `npm run kills` two hundred. */
const KILLS = Number(process.env.HELMWRIGHT_KILLS ?? 30);
/** Folders written to at the same time, each with its own share of the kills. */
const FOLDERS = 2;
const SEED = 20261129;
const root = mkdtempSync(join(tmpdir(), 'helmwright-store-kill-'));
const living = new Set<Writer>();
// Inside the project, so that it finds the packages it does not carry.
const script = resolve(`node_modules/.cache/helmwright/store-writer-${process.pid}.mjs`);

beforeAll(async () => {
  await build({
    entryPoints: ['test/support/store-writer.ts'],
    outfile: script,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    logLevel: 'warning',
  });
});
afterAll(async () => {
  for (const { child, ended } of living) {
    child.kill('SIGKILL');
    await ended;
  }
  rmSync(script, { force: true });
  rmSync(root, { recursive: true, force: true });
});

describe(`a store killed at ${KILLS} random moments under load, seed ${SEED}`, () => {
  it('loses no acknowledged change, breaks no line of versions, and keeps files whole', async () => {
    const tallies = await Promise.all(
      Array.from({ length: FOLDERS }, (_, index) => killAgainAndAgain(join(root, `${index}`), SEED + index)),
    );
    const sum = (of: (tally: Tally) => number): number => tallies.reduce((all, tally) => all + of(tally), 0);
    expect(sum(({ kills }) => kills)).toBe(KILLS);
    // Otherwise nothing has been tested: most of the kills must have fallen among writes.
    expect(sum(({ amongWrites }) => amongWrites)).toBeGreaterThan(KILLS / 2);
    expect(sum(({ acknowledged }) => acknowledged)).toBeGreaterThan(5 * KILLS);
  }, 900_000);
});

describe('a second process', () => {
  const folder = join(root, 'owned');

  it('is refused while the first lives, and told where its page is; after a kill it has the folder at once', async () => {
    const first = start(folder, []);
    await first.until('changed');
    const refused = start(folder, []);
    const [line] = await refused.until('refused');
    expect(line).toMatchObject({ say: 'refused', code: 'DATA_FOLDER_IN_USE' });
    expect(JSON.stringify(line)).toContain(`${first.child.pid}`);
    expect(JSON.stringify(line)).toContain('http://127.0.0.1:1/');
    expect(await openStore({ dataFolder: folder })).toMatchObject({ ok: false, code: 'DATA_FOLDER_IN_USE' });
    first.child.kill('SIGKILL');
    await first.ended;
    const second = start(folder, []);
    expect(foundIn(await second.until('found')).builds.length).toBeGreaterThan(0);
    second.child.kill('SIGKILL');
    await second.ended;
  });
});

interface Tally {
  kills: number;
  amongWrites: number;
  acknowledged: number;
}

/** What was acknowledged so far, as the next process has to find it. */
interface Known {
  readonly values: Map<string, Map<number, string>>;
  readonly stands: Map<string, number>;
  /** Builds whose removal was begun: there or not there, both are right. */
  readonly leaving: Set<string>;
  readonly files: string[];
  kept: number;
}

async function killAgainAndAgain(folder: string, seed: number): Promise<Tally> {
  const random = randomStream(seed);
  const tally: Tally = { kills: 0, amongWrites: 0, acknowledged: 0 };
  const known: Known = { values: new Map(), stands: new Map(), leaving: new Set(), files: [], kept: 0 };
  while (tally.kills < KILLS / FOLDERS) {
    const writer = start(folder, known.files.slice(-20));
    // One in ten is killed while it opens, the others somewhere within the next write after so many.
    if (random() < 0.1) await pause(random() * 1000);
    else {
      await writer.untilAcknowledged(1 + Math.floor(random() * 15));
      await pause(random() * 25);
    }
    writer.child.kill('SIGKILL');
    await writer.ended;
    tally.kills++;
    const acknowledged = writer.lines.filter(isAcknowledgement);
    tally.acknowledged += acknowledged.length;
    if (acknowledged.length > 0) tally.amongWrites++;
    for (const line of writer.lines)
      if (line.say === 'found') compare(line, known, `kill ${tally.kills} of seed ${seed}`);
      else take(line, known);
  }
  const last = start(folder, known.files.slice(-20));
  compare(foundIn(await last.until('found')), known, `the last of seed ${seed}`);
  last.child.kill('SIGKILL');
  await last.ended;
  expect(readdirSync(folder).filter((name) => name.startsWith('.helmwright-part'))).toEqual([]);
  return tally;
}

type Found = Extract<WriterLine, { readonly say: 'found' }>;

function foundIn(lines: readonly WriterLine[]): Found {
  return lines.find((line): line is Found => line.say === 'found')!;
}

function compare(found: Found, known: Known, when: string): void {
  for (const [id, values] of known.values) {
    const build = found.builds.find((each) => each.id === id);
    if (build === undefined && known.leaving.has(id)) continue;
    expect(build, `${when}: build ${id}`).toBeDefined();
    for (const [number, value] of values)
      expect(build!.versions[number - 1], `${when}: version ${number}`).toEqual([number, expect.anything(), value]);
    // One write may have come through without its acknowledgement having been heard.
    const unheard = build!.versions.length - Math.max(1, ...values.keys());
    expect(unheard === 0 || unheard === 1, `${when}: ${unheard} changes that nobody acknowledged`).toBe(true);
    if (unheard === 0) expectStanding(build!, known, when);
  }
  for (const build of found.builds) expectUnbroken(build, when);
  expect(found.kept, `${when}: records`).toBeGreaterThanOrEqual(known.kept);
  expect(found.kept, `${when}: records`).toBeLessThanOrEqual(known.kept + 1);
  expect(found.files, `${when}: files`).toEqual(known.files.slice(-20));
  // From here on what was found is what is known.
  known.kept = found.kept;
  known.values.clear();
  known.leaving.clear();
  for (const { id, stands, versions } of found.builds) {
    known.values.set(id, new Map(versions.slice(1).map(([number, , value]) => [number, value])));
    known.stands.set(id, stands);
  }
}

/** Where it stood when last heard of, or, if a step came through unheard, one step from there. */
function expectStanding(build: FoundBuild, known: Known, when: string): void {
  const heard = known.stands.get(build.id);
  if (heard === undefined) return;
  const from = (number: number): number | null => build.versions[number - 1]?.[1] ?? null;
  const near = build.stands === heard || from(heard) === build.stands || from(build.stands) === heard;
  expect(near, `${when}: stands on ${build.stands}, heard of ${heard}`).toBe(true);
}

function expectUnbroken({ stands, versions }: FoundBuild, when: string): void {
  for (const [index, [number, from]] of versions.entries()) {
    expect(number, when).toBe(index + 1);
    if (index === 0) expect(from, when).toBeNull();
    else expect(from! >= 1 && from! < number, `${when}: ${number} made from ${from}`).toBe(true);
  }
  expect(stands >= 1 && stands <= versions.length, when).toBe(true);
}

function take(line: WriterLine, known: Known): void {
  if (line.say === 'begun') {
    known.values.set(line.id, new Map());
    known.stands.set(line.id, 1);
  } else if (line.say === 'removing') known.leaving.add(line.id);
  else if (line.say === 'changed') {
    known.values.get(line.id)!.set(line.number, line.value);
    known.stands.set(line.id, line.number);
  } else if (line.say === 'stepped') known.stands.set(line.id, line.stands);
  else if (line.say === 'file') known.files.push(line.sha256);
  else if (line.say === 'kept') known.kept = line.revision;
}

interface Writer {
  readonly child: ChildProcess;
  readonly lines: WriterLine[];
  /** Resolves with all lines once one of this kind has come. */
  until(say: WriterLine['say']): Promise<readonly WriterLine[]>;
  /** Resolves once it has acknowledged so many writes. */
  untilAcknowledged(writes: number): Promise<unknown>;
  readonly ended: Promise<void>;
}

function start(folder: string, files: readonly string[]): Writer {
  const child = spawn(process.execPath, [script, folder, NEW_DATABASE, ...files], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const lines: WriterLine[] = [];
  let err = '';
  child.stderr!.on('data', (chunk: Buffer) => {
    err += chunk.toString();
  });
  const waiting: {
    readonly isHeard: () => boolean;
    readonly heard: (lines: readonly WriterLine[]) => void;
    readonly failed: (error: Error) => void;
  }[] = [];
  createInterface({ input: child.stdout! }).on('line', (text) => {
    // The last line may be cut short by the kill; what it would have said was not heard.
    const line = readLine(text);
    if (line === null) return;
    lines.push(line);
    for (const each of waiting) if (each.isHeard()) each.heard(lines);
  });
  const ended = new Promise<void>((done) =>
    child.on('close', () => {
      for (const each of waiting) each.failed(new Error(`the writer ended too early: ${err}`));
      done();
    }),
  );
  const when = (isHeard: () => boolean): Promise<readonly WriterLine[]> =>
    new Promise((heard, failed) => {
      if (isHeard()) heard(lines);
      else waiting.push({ isHeard, heard, failed });
    });
  const writer: Writer = {
    child,
    lines,
    until: (say) => when(() => lines.some((line) => line.say === say)),
    untilAcknowledged: (writes) => when(() => lines.filter(isAcknowledgement).length >= writes),
    ended,
  };
  living.add(writer);
  void ended.then(() => living.delete(writer));
  return writer;
}

function isAcknowledgement({ say }: WriterLine): boolean {
  return say !== 'found' && say !== 'refused' && say !== 'removing';
}

function readLine(text: string): WriterLine | null {
  try {
    return JSON.parse(text) as WriterLine;
  } catch {
    return null;
  }
}
