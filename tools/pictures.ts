// Takes the README's pictures from the running page on the demo: npm run pictures, or some of them by name: npm run pictures -- joints assembly.
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { writeStl } from '../src/documents/stl/write-stl.ts';
import type { Mesh } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { CHROMIUM_FLAGS } from '../test/support/chromium.ts';
import { startCommand } from '../test/support/command.ts';

const OUT = 'docs/pictures';
const names = process.argv.slice(2);
const isWanted = (...some: readonly string[]): boolean =>
  names.length === 0 || some.some((name) => names.includes(name));
const folder = mkdtempSync(join(tmpdir(), 'helmwright-pictures-'));
const { child, ended } = startCommand([
  'demo',
  '--serve',
  '--port',
  '0',
  '--data',
  join(folder, 'data'),
  '--out',
  join(folder, 'kit'),
]);
const address = await new Promise<string>((found, lost) => {
  child.stdout?.on('data', (chunk: Buffer) => {
    const match = /The book is at (\S+)/.exec(chunk.toString());
    if (match?.[1]) found(match[1]);
  });
  void ended.then(({ err }) => lost(new Error(err)));
});
mkdirSync(OUT, { recursive: true });
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });

const shots = [
  { name: 'book', width: 1440, height: 900, scheme: 'light', at: null },
  { name: 'pieces', width: 1440, height: 900, scheme: 'light', at: '#pieces' },
  { name: 'joints', width: 1440, height: 900, scheme: 'light', at: '#joints section.table' },
  { name: 'assembly', width: 1440, height: 900, scheme: 'light', at: '#assembly section.table' },
  { name: 'printing-slate', width: 1440, height: 900, scheme: 'dark', at: '#printing' },
  { name: 'beds', width: 1440, height: 900, scheme: 'light', at: '#beds' },
  { name: 'surface', width: 1440, height: 900, scheme: 'light', at: '#surface' },
  { name: 'phone', width: 390, height: 844, scheme: 'light', at: '#pieces' },
] as const;
for (const { name, width, height, scheme, at } of shots.filter((shot) => isWanted(shot.name))) {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme: scheme });
  await page.goto(address);
  await page.getByText('All is computed.').first().waitFor({ timeout: 180_000, state: 'attached' });
  if (at !== null)
    await page
      .locator(at)
      .first()
      .evaluate((element) => element.scrollIntoView({ block: 'start', behavior: 'instant' }));
  await page.waitForTimeout(9000);
  await page.screenshot({ path: join(OUT, `${name}.png`) });
  await page.close();
}
if (isWanted('assembly-sheet')) await takeSheet();
if (isWanted('mended')) await takeMended();
if (isWanted('beside', 'shelf')) await takeHouse();
await browser.close();
child.kill('SIGTERM');
await ended;
rmSync(folder, { recursive: true, force: true });

/** The sheet for the bench, as it is printed: A4 less its margins. */
async function takeSheet(): Promise<void> {
  const page = await browser.newPage({ viewport: { width: 703, height: 1039 }, deviceScaleFactor: 1.5 });
  await page.goto(`file://${join(folder, 'kit', 'book.html')}`);
  await page.emulateMedia({ media: 'print' });
  await page.evaluate(() => document.fonts.ready);
  await page.locator('.bench-sheet').screenshot({ path: join(OUT, 'assembly-sheet.png') });
  await page.close();
}

/** The Model chapter of a helm that came full of holes, with the figure showing it as it came. */
async function takeMended(): Promise<void> {
  const { origin } = new URL(address);
  const body = Buffer.from(writeStl(withHoles(demoModel('keepers-helm', { triangles: 60_000 })), { title: 'holes' }));
  const posted = await fetch(`${origin}/api/builds?name=as-delivered.stl`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body,
  });
  const { id } = (await posted.json()) as { id: string };
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 }, colorScheme: 'light' });
  await page.goto(`${origin}/builds/${id}`);
  await page.getByText('All is computed.').first().waitFor({ timeout: 180_000, state: 'attached' });
  await page.getByLabel('What the figure shows').selectOption({ label: 'the model as it came' });
  await page.locator('#model').evaluate((e) => e.scrollIntoView({ block: 'start', behavior: 'instant' }));
  await page.waitForTimeout(9000);
  await page.screenshot({ path: join(OUT, 'mended.png') });
  await page.close();
}

/** The shelf with what is on it by then, and the demo beside a copy of it for a larger machine. */
async function takeHouse(): Promise<void> {
  const { origin, pathname } = new URL(address);
  const id = pathname.split('/').at(-1)!;
  const posted = await fetch(`${origin}/api/builds/${id}/copy`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      name: 'Keeper’s helm, on the large machine',
      change: { path: 'machines.0.bedMm', value: [300, 300, 400] },
    }),
  });
  const copy = ((await posted.json()) as { id: string }).id;
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 }, colorScheme: 'light' });
  await page.goto(`${origin}/beside/${id}/${copy}`);
  await page.locator('.beside-tables').waitFor({ timeout: 180_000 });
  await page.waitForTimeout(2000);
  await page.screenshot({ path: join(OUT, 'beside.png') });
  await page.goto(`${origin}/`);
  await page.locator('.shelf-thumb svg').nth(2).waitFor({ timeout: 60_000 });
  await page.waitForTimeout(2000);
  await page.screenshot({ path: join(OUT, 'shelf.png') });
  await page.close();
}

/** The mesh without the triangles near some of its own vertices. */
function withHoles(mesh: Mesh): Mesh {
  const { positions: p, triangles: t } = mesh;
  const middles = Array.from({ length: 26 }, (_, k) => 3 * Math.floor(((k + 0.5) / 26) * (p.length / 3)));
  const kept = Array.from({ length: t.length / 3 }, (_, i) => i).filter((i) => {
    const v = t[3 * i]! * 3;
    return middles.every(
      (m, k) => Math.hypot(p[v]! - p[m]!, p[v + 1]! - p[m + 1]!, p[v + 2]! - p[m + 2]!) > 3 + (k % 4),
    );
  });
  return { ...mesh, triangles: Uint32Array.from(kept.flatMap((i) => [...t.subarray(3 * i, 3 * i + 3)])) };
}
