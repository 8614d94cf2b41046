// The real page in real Chromium: a model dropped, read, changed, taken back, taken home; and pictures of every state.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BuildState } from '../../src/app/api/api.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { startCommand } from '../support/command.ts';
import { quickHelm } from '../support/quick-helm.ts';

const PICTURES = 'test/out/pictures';
describe('the page', () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-page-'));
  const model = join(folder, 'storm-dome.stl');
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let server: ReturnType<typeof startCommand>;
  let address = '';

  const state = async (): Promise<BuildState> =>
    (
      await page.request.get(page.url().replace('/builds/', '/api/builds/').replace(/#.*/, ''))
    ).json() as Promise<BuildState>;
  const settled = async (): Promise<BuildState> => {
    await page.locator('.work-says', { hasText: 'All is computed.' }).waitFor({ timeout: 90_000 });
    return state();
  };
  const print = (of: BuildState, chapter: string): string | undefined =>
    of.text?.chapters.find(({ name }) => name === chapter)?.fingerprint;

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    writeFileSync(model, writeStl(quickHelm()));
    server = startCommand(['serve', '--port', '0', '--data', join(folder, 'data')]);
    address = await new Promise<string>((found, lost) => {
      server.child.stdout!.on('data', (chunk: Buffer) => {
        const match = /http:\/\/127\.0\.0\.1:\d+\//.exec(chunk.toString());
        if (match) found(match[0]);
      });
      void server.ended.then(({ err }) => lost(new Error(err)));
    });
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
  });
  afterAll(async () => {
    await browser?.close();
    server?.child.kill('SIGTERM');
    await server?.ended;
    rmSync(folder, { recursive: true, force: true });
  });

  it('takes a model and writes its book', async () => {
    await page.goto(address);
    await page.getByRole('heading', { name: 'Helmwright' }).waitFor();
    await page.screenshot({ path: join(PICTURES, 'front.png') });
    await page.locator('input[type=file]').setInputFiles(model);
    await page.waitForURL(/\/builds\//);
    const { text } = await settled();
    expect(text?.chapters.map(({ state: standing }) => standing)).toEqual([
      'computed',
      'computed',
      'computed',
      'computed',
    ]);
    await page.waitForTimeout(1500);
    await page.screenshot({ path: join(PICTURES, 'book.png') });
  });

  it('computes Printing again, and only Printing, when the layer height is changed in its sentence', async () => {
    const before = await state();
    const layer = page.getByRole('spinbutton', { name: 'Layer height' });
    await layer.scrollIntoViewIfNeeded();
    await layer.fill('0.3');
    await layer.press('Enter');
    await expect.poll(async () => (await state()).build.print.layerMm).toBe(0.3);
    await expect.poll(async () => print(await settled(), 'printing')).not.toBe(print(before, 'printing'));
    const after = await settled();
    for (const chapter of ['model', 'wearer', 'pieces']) expect(print(after, chapter)).toBe(print(before, chapter));
    await page.screenshot({ path: join(PICTURES, 'printing.png') });
  });

  it('says the range of a number out of it, and sends nothing', async () => {
    const { turn } = await state();
    const layer = page.getByRole('spinbutton', { name: 'Layer height' });
    await layer.fill('7');
    await layer.press('Enter');
    expect(await layer.getAttribute('aria-invalid')).toBe('true');
    await page.screenshot({ path: join(PICTURES, 'out-of-range.png') });
    await layer.press('Escape');
    expect(await layer.inputValue()).toBe('0.30');
    expect((await state()).turn).toBe(turn);
  });

  it('undoes and keeps what was decided over a reload', async () => {
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(async () => (await state()).build.print.layerMm).toBe(0.2);
    await settled();
    await page.reload();
    await settled();
    expect((await state()).build.print.layerMm).toBe(0.2);
    expect((await state()).canRedo).toBe(true);
  });

  it('divides again for another bed and shows the pieces apart', async () => {
    const before = (await state()).turn;
    const width = page.getByRole('spinbutton', { name: 'Bed width' });
    await width.fill('160');
    await width.press('Enter');
    await expect.poll(async () => (await state()).turn).toBeGreaterThan(before);
    const after = await settled();
    expect(after.build.machines[0]?.bedMm[0]).toBe(160);
    await page.locator('#pieces').scrollIntoViewIfNeeded();
    await page.waitForTimeout(2500);
    await page.screenshot({ path: join(PICTURES, 'pieces.png') });
  });

  it('gives the whole kit as one file', async () => {
    const [download] = await Promise.all([
      page.waitForEvent('download', { timeout: 90_000 }),
      page.getByRole('link', { name: 'the whole kit' }).click(),
    ]);
    expect(download.suggestedFilename()).toMatch(/kit\.zip$/);
  });

  it('refuses pages of other origins and other hosts', async () => {
    const id = page.url().split('/').at(-1)!.replace(/#.*/, '');
    const foreign = await page.request.patch(`${address}api/builds/${id}`, {
      headers: { origin: 'http://example.org' },
      data: { path: 'print.layerMm', value: 0.25 },
    });
    expect(foreign.status()).toBe(403);
    const host = await page.request.get(`${address}api/builds`, { headers: { host: 'example.org' } });
    expect(host.status()).toBe(403);
  });

  it('keeps a readable book at 360 px and in the dark', async () => {
    await page.setViewportSize({ width: 360, height: 780 });
    await page.emulateMedia({ colorScheme: 'dark' });
    await settled();
    const overflow = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(overflow).toBeLessThanOrEqual(0);
    await page.screenshot({ path: join(PICTURES, 'phone-dark.png') });
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.waitForTimeout(1500);
    await page.screenshot({ path: join(PICTURES, 'book-dark.png') });
  });

  it('left nothing in the console', () => {
    expect(complaints).toEqual([]);
  });
});
