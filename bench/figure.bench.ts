// Turning the figure of a helm of a million triangles in Chromium without a graphics card: frames at each level, how long one waits for
// the first. Time from the first command of a frame to its last pixel, heard by the page itself; and the share of a processor it takes,
// which other work on the machine does not change.   npx tsx bench/figure.bench.ts   (no peer: three's own viewer draws no lines)
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { build } from 'esbuild';
import { chromium, type Page } from 'playwright-core';
import { encodeFigure, type FigureShape } from '../src/app/api/figure-codec.ts';
import type { Level } from '../src/app/web/figure-pace.ts';
import { creaseEdges } from '../src/geometry/crease-edges.ts';
import { thinForDisplay } from '../src/geometry/thin-for-display.ts';
import { bounds, sizeOf } from '../src/mesh/measure.ts';
import { type Mesh, numTris } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { CHROMIUM_FLAGS } from '../test/support/chromium.ts';

const TRIANGLES = 1_000_000;
/** As the page gets them, see figure-of.ts. */
const FULL = 140_000;
const COARSE = 16_000;
/** The plate of a window of 1440 by 900 px. */
const ROOM = { width: 560, height: 690 };
const TURN_S = 8;

const shape = (mesh: Mesh): FigureShape => ({
  positions: Float32Array.from(mesh.positions),
  triangles: mesh.triangles,
  creases: creaseEdges(mesh, { angleDeg: 35 }),
});

const model = demoModel('keepers-helm', { triangles: TRIANGLES });
const full = thinForDisplay(model, { triangles: FULL });
const coarse = thinForDisplay(full, { triangles: COARSE });
const figure = encodeFigure({
  parts: [
    {
      id: 'whole',
      name: 'the shell',
      ...shape(full),
      coarse: shape(coarse),
      seams: new Float32Array(),
      exposure: null,
      apart: [0, 0, 1],
      apartMm: 0,
      joined: null,
      toLaid: null,
    },
  ],
  sizeMm: sizeOf(bounds(model)),
  asRead: null,
  outside: null,
  toFile: null,
  scale: 1,
});
console.log(
  `a helm of ${numTris(model)} triangles: ${numTris(full)} in full, ${numTris(coarse)} coarse, ${(figure.length / 1e6).toFixed(1)} MB`,
);

interface Heard {
  readonly level: Level;
  readonly ms: number;
  readonly isWhole: boolean;
  readonly at: number;
}

const PAGE = `
import { decodeFigure } from './src/app/api/figure-codec.ts';
import { mountFigure } from './src/app/web/figure.ts';
const heard = [];
const bytes = await (await fetch('/figure')).arrayBuffer();
const from = performance.now();
const data = decodeFigure(bytes);
mountFigure(document.getElementById('room'), data, {
  theme: 'light',
  chapter: 'model',
  onFrame: (frame) => heard.push({ ...frame, at: performance.now() - from }),
});
Object.assign(globalThis, { heard, blockedMs: performance.now() - from });
`;
const made = await build({
  stdin: { contents: PAGE, resolveDir: process.cwd(), loader: 'ts' },
  bundle: true,
  format: 'esm',
  minify: true,
  write: false,
  target: 'chrome123',
});
const script = made.outputFiles[0]!.text;
const html = `<!doctype html><style>body{margin:0}#room{position:relative;width:${ROOM.width}px;height:${ROOM.height}px}canvas{position:absolute;inset:0;width:100%;height:100%}.figure-labels{display:none}</style><div id="room"></div><script type="module" src="/page.js"></script>`;
const server = createServer((request, response) => {
  if (request.url === '/figure') response.end(figure);
  else if (request.url === '/page.js') response.setHeader('content-type', 'text/javascript').end(script);
  else response.setHeader('content-type', 'text/html').end(html);
});
await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
const page = await browser.newPage({ viewport: { width: ROOM.width + 40, height: ROOM.height + 40 } });
await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
await page.waitForFunction('globalThis.heard?.some(({ isWhole }) => isWhole)', undefined, { timeout: 120_000 });
const opening = await frames(page);
console.log(
  `  the page stands still for ${Math.round((await page.evaluate('blockedMs')) as number)} ms while it is mounted`,
);
console.log(
  `  first picture (coarse) after ${Math.round(opening[0]!.at)} ms, the full one after ${Math.round(opening.find(({ isWhole }) => isWhole)!.at)} ms`,
);
await page.waitForTimeout(1500);
const before = processorMs();
await page.evaluate('heard.length = 0');
const wall = await turn(page);
const turning = await frames(page);
console.log(
  `  turned for ${wall.toFixed(1)} s: ${turning.length} frames, ${(turning.length / wall).toFixed(1)} a second, the processors busy for ${((processorMs() - before) / turning.length).toFixed(0)} ms a frame`,
);
for (const level of ['full', 'coarse', 'sketch'] as const) report(level, turning);
await page.waitForTimeout(2500);
report('full', (await frames(page)).slice(turning.length), 'at rest again');
await browser.close();
server.close();

function report(level: Level, of: readonly Heard[], when = 'while turning'): void {
  const ms = of
    .filter((frame) => frame.level === level)
    .map((frame) => frame.ms)
    .sort((a, b) => a - b);
  if (ms.length === 0) return;
  console.log(
    `  ${level} ${when}: ${ms.length} frames, median ${ms[Math.trunc(ms.length / 2)]!.toFixed(0)} ms, worst ${ms.at(-1)!.toFixed(0)} ms`,
  );
}

async function frames(of: Page): Promise<readonly Heard[]> {
  return of.evaluate('heard.slice()') as Promise<readonly Heard[]>;
}

/** Drags to and fro; returns the seconds it took. */
async function turn(of: Page): Promise<number> {
  const from = performance.now();
  await of.mouse.move(200, 300);
  await of.mouse.down();
  for (let i = 1; performance.now() - from < TURN_S * 1000; i++) {
    await of.mouse.move(200 + 150 * Math.sin(i / 15), 300 + 40 * Math.cos(i / 11));
    await of.waitForTimeout(12);
  }
  await of.mouse.up();
  return (performance.now() - from) / 1000;
}

/** Processor time of the browser so far: every process that descends from this one. */
function processorMs(): number {
  const rows = execFileSync('ps', ['-eo', 'pid,ppid'], { encoding: 'utf8' }).trim().split('\n').slice(1);
  const parents = rows.map((row) => row.trim().split(/\s+/) as [string, string]);
  const family = new Set([String(process.pid)]);
  for (let size = 0; size !== family.size; ) {
    size = family.size;
    for (const [pid, parent] of parents) if (family.has(parent)) family.add(pid);
  }
  family.delete(String(process.pid));
  let ticks = 0;
  for (const pid of family) {
    try {
      const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
      ticks += Number(fields[11]) + Number(fields[12]);
    } catch {
      // It has ended meanwhile.
    }
  }
  return ticks * 10;
}
