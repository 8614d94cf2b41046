// Opening a store and changing a build in it, beside a plain file written and flushed in the same run.
import { closeSync, fsyncSync, mkdtempSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openStore } from '../src/store/open-store.ts';
import type { Store } from '../src/store/store.ts';

/** Where the image of a new database lies. */
const BUILT = process.env.HELMWRIGHT_BUILT ?? 'dist';
const CHANGES = 300;
/** About the size of a build file. */
const BUILD = {
  name: 'Keeper',
  filling: Array.from({ length: 400 }, (_, index) => ({ path: `p.${index}`, value: index / 7 })),
};
const folder = mkdtempSync(join(tmpdir(), 'helmwright-bench-'));
const dataFolder = join(folder, 'data');

console.log(`a build of ${(JSON.stringify(BUILD).length / 1000).toFixed(1)} kB, ${CHANGES} changes`);
const nothing = await timed(() => open(join(folder, 'from-nothing'), join(folder, 'none')));
await nothing.value.close();
console.log(`first opening, from nothing: ${nothing.ms.toFixed(0)} ms`);
const first = await timed(() => open(dataFolder, join(BUILT, 'new-database.tgz')));
console.log(`first opening, from the image in dist (when it is built): ${first.ms.toFixed(0)} ms`);
await first.value.close();
const again = await timed(() => open(dataFolder, 'none'));
const store = again.value;
console.log(`opening again: ${again.ms.toFixed(0)} ms`);

const { id } = await store.addBuild({ build: BUILD });
const ours: number[] = [];
const peer: number[] = [];
let version = 1;
// By turns, so that both meet the same disk.
for (let count = 0; count < CHANGES; count++) {
  const build = { ...BUILD, count };
  const text = JSON.stringify(build);
  const change = await timed(() => store.changeBuild(id, { from: version, build, path: 'x', kind: 'set' }));
  if (typeof change.value !== 'object') throw new Error('not changed');
  version = change.value.version;
  ours.push(change.ms);
  peer.push((await timed(async () => plainFile(join(folder, 'plain.json'), text))).ms);
}
report('a change', ours, peer);
const stepping: number[] = [];
for (let count = 0; count < 50; count++)
  stepping.push((await timed(() => store.stepBuild(id, count % 2 === 0 ? 'undo' : 'redo', 5))).ms);
report('five steps back or forth', stepping, peer);
const reading: number[] = [];
for (let count = 0; count < 100; count++) reading.push((await timed(() => store.getBuild(id))).ms);
console.log(`reading a build: median ${middle(reading).toFixed(2)} ms`);
const history = await timed(() => store.versions(id));
console.log(`the history of ${history.value.length} versions: ${history.ms.toFixed(1)} ms`);
const large = new Uint8Array(50e6);
const taken = await timed(() => store.takeFile(large, 1e9));
const plain = await timed(async () => plainFile(join(folder, 'plain.bin'), large));
console.log(`a file of 50 MB: ours ${taken.ms.toFixed(0)} ms with its hash, plain ${plain.ms.toFixed(0)} ms`);
await store.close();
console.log(`peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
rmSync(folder, { recursive: true, force: true });

async function open(where: string, newDatabase: string): Promise<Store> {
  const opened = await openStore({ dataFolder: where, newDatabase });
  if (!opened.ok) throw new Error(opened.why);
  return opened.value;
}

/** What a program without a database would do: the whole build beside the old one, flushed, and renamed over it. */
function plainFile(path: string, content: string | Uint8Array): void {
  const file = openSync(`${path}.part`, 'w');
  writeSync(file, typeof content === 'string' ? Buffer.from(content) : content);
  fsyncSync(file);
  closeSync(file);
  renameSync(`${path}.part`, path);
}

async function timed<T>(run: () => Promise<T>): Promise<{ readonly ms: number; readonly value: T }> {
  const from = performance.now();
  const value = await run();
  return { ms: performance.now() - from, value };
}

function report(what: string, mine: readonly number[], file: readonly number[]): void {
  const [a, b] = [middle(mine), middle(file)];
  console.log(
    `${what}: median ${a.toFixed(2)} ms, 95 of 100 within ${share(mine, 0.95).toFixed(2)} ms; plain file ${b.toFixed(2)} ms, ratio ${(a / b).toFixed(2)}`,
  );
}

function middle(values: readonly number[]): number {
  return share(values, 0.5);
}

function share(values: readonly number[], part: number): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length * part)] ?? 0;
}
