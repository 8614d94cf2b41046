// What a reader waits for the server: a stored book after a start, an edit while a million triangles are computed, a model on its way in.
// Beside each the least the same server can do: a page's own file. HELMWRIGHT_BUILT names the build that is measured.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import type { BuildState } from '../src/app/api/api.ts';
import { writeStl } from '../src/documents/stl/write-stl.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { CHROMIUM_FLAGS } from '../test/support/chromium.ts';
import { startCommand } from '../test/support/command.ts';

const EDITS = 30;
const folder = mkdtempSync(join(tmpdir(), 'helmwright-server-bench-'));

const first = await serve();
const stored = await begin(first.origin, Buffer.from(writeStl(demoModel('keepers-helm', { triangles: 200_000 }))));
await computed(first.origin, stored);
await first.stop();

const again = await serve();
const [plainMs] = await timed(() => fetch(`${again.origin}/`).then((answer) => answer.text()));
const [stateMs, state] = await timed(() => stateOf(again.origin, stored));
const [figureMs, figure] = await timed(() =>
  fetch(`${again.origin}/api/builds/${stored}/figure`).then((answer) => answer.arrayBuffer()),
);
console.log(
  `a stored book of 200 000 triangles, after the server listens (listening ${again.afterMs.toFixed(0)} ms after its start)`,
);
console.log(
  `  text and drawings ${stateMs.toFixed(0)} ms, ${kb(JSON.stringify(state).length)}; ${state.text === null ? 'NOT THERE' : 'whole'}`,
);
console.log(
  `  figure ${figureMs.toFixed(0)} ms, ${kb(figure.byteLength)}; the page's own file ${plainMs.toFixed(0)} ms`,
);

console.log(`  ${await paint(again.origin, stored)}`);

const model = Buffer.from(writeStl(demoModel('keepers-helm', { triangles: 1_000_000 })));
const [takenMs, large] = await timed(() => begin(again.origin, model));
console.log(`a model of 1 000 000 triangles (50 MB) sent, kept, read: ${(takenMs / 1000).toFixed(2)} s`);
await stateOf(again.origin, large);
await edits('while it is read and its chapters are computed', large);
await edits('of the small book meanwhile', stored);
await again.stop();
rmSync(folder, { recursive: true, force: true });

async function edits(what: string, id: string): Promise<void> {
  const times: number[] = [];
  let busy = 0;
  for (let i = 0; i < EDITS; i++) {
    const body = JSON.stringify({ path: 'print.infillPercent', value: 11 + i });
    const [ms, answer] = await timed(() =>
      fetch(`${again.origin}/api/builds/${id}`, {
        method: 'PATCH',
        headers: { 'content-type': 'application/json' },
        body,
      }).then((response) => response.json() as Promise<BuildState>),
    );
    times.push(ms);
    if (answer.computing !== null) busy++;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  times.sort((a, b) => a - b);
  const at = (share: number): string =>
    (times[Math.min(times.length - 1, Math.floor(share * times.length))] ?? Number.NaN).toFixed(0);
  console.log(
    `${EDITS} edits ${what}: median ${at(0.5)} ms, nine of ten within ${at(0.9)} ms, longest ${at(1)} ms; computing at ${busy} of them`,
  );
}

/** A browser that knows nothing of the page yet opens the stored book: its first paint, its last chapter, its figure drawn in software. */
async function paint(origin: string, id: string): Promise<string> {
  const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  const from = performance.now();
  await page.goto(`${origin}/builds/${id}`, { waitUntil: 'commit' });
  await page.locator('#printing').waitFor({ state: 'attached' });
  const textMs = performance.now() - from;
  const firstMs = await page.evaluate(
    () =>
      new Promise<number>((found) => {
        new PerformanceObserver((list) => found(list.getEntries()[0]!.startTime)).observe({
          type: 'paint',
          buffered: true,
        });
      }),
  );
  await page.locator('.figure-canvas').waitFor({ timeout: 60_000 });
  const figureMs = performance.now() - from;
  await browser.close();
  return `in Chromium: first paint ${firstMs.toFixed(0)} ms, all chapters ${textMs.toFixed(0)} ms, figure mounted ${figureMs.toFixed(0)} ms`;
}

interface Serving {
  readonly origin: string;
  readonly afterMs: number;
  stop(): Promise<void>;
}

async function serve(): Promise<Serving> {
  const from = performance.now();
  const { child, ended } = startCommand(['serve', '--port', '0', '--data', join(folder, 'data')]);
  const origin = await new Promise<string>((found, lost) => {
    child.stdout?.on('data', (chunk: Buffer) => {
      const match = /(http:\/\/127\.0\.0\.1:\d+)\//.exec(chunk.toString());
      if (match?.[1] !== undefined) found(match[1]);
    });
    void ended.then(({ err }) => lost(new Error(err)));
  });
  const afterMs = performance.now() - from;
  return {
    origin,
    afterMs,
    async stop() {
      child.kill('SIGTERM');
      await ended;
    },
  };
}

async function begin(origin: string, body: Buffer<ArrayBuffer>): Promise<string> {
  const response = await fetch(`${origin}/api/builds?name=helm.stl`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body,
  });
  const { id } = (await response.json()) as { id?: string };
  if (id === undefined) throw new Error('the model was not taken');
  return id;
}

async function stateOf(origin: string, id: string): Promise<BuildState> {
  return (await (await fetch(`${origin}/api/builds/${id}`)).json()) as BuildState;
}

async function computed(origin: string, id: string): Promise<void> {
  while ((await stateOf(origin, id)).computing !== null) await new Promise((resolve) => setTimeout(resolve, 300));
}

async function timed<T>(work: () => Promise<T>): Promise<readonly [ms: number, value: T]> {
  const from = performance.now();
  const value = await work();
  return [performance.now() - from, value];
}

function kb(bytes: number): string {
  return `${Math.round(bytes / 1000)} kB`;
}
