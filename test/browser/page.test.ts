// The whole way on the built program in real Chromium: a model dropped, its progress watched, choices changed and taken back, two tabs,
// two books, yesterday's version, the kit; what axe finds on the way, and pictures of every page in both tones.
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BuildState } from '../../src/app/api/api.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { axeFindings, LOOKS, lookAt, tooWidePx } from '../support/axe.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { startCommand } from '../support/command.ts';
import { quickHelm } from '../support/quick-helm.ts';

const PICTURES = 'test/out/pictures';
const DAY_MS = 86_400_000;
/** On a busy machine a plan may take many seconds. */
const until = <T>(read: () => T) => expect.poll(read, { timeout: 110_000, interval: 200 });

describe('the whole way', () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-page-'));
  const complaints: string[] = [];
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;
  let server: ReturnType<typeof startCommand>;
  let address = '';
  let id = '';

  const watched = (of: Page): Page => {
    of.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    of.on('pageerror', (error) => complaints.push(String(error)));
    return of;
  };
  const state = async (of = id): Promise<BuildState> =>
    (await page.request.get(`${address}api/builds/${of}`)).json() as Promise<BuildState>;
  const settled = async (of = id): Promise<BuildState> => {
    await until(async () => {
      const { computing, stale, text } = await state(of);
      return computing === null && stale.length === 0 && text !== null;
    }).toBe(true);
    return state(of);
  };
  const print = (of: BuildState, chapter: string): string | undefined =>
    of.text?.chapters.find(({ name }) => name === chapter)?.fingerprint;
  const setNumber = async (label: string, value: string, on = page): Promise<void> => {
    const field = on.getByRole('spinbutton', { name: label, exact: true });
    await field.scrollIntoViewIfNeeded();
    await field.fill(value);
    await field.press('Enter');
  };
  /** In both tones, on a desk and on a phone: fits, axe finds nothing, and a picture to look at. */
  const expectWell = async (name: string): Promise<void> => {
    for (const look of LOOKS) {
      await lookAt(page, look);
      await page.waitForTimeout(300);
      expect.soft(await tooWidePx(page), `${name}, ${look.name}`).toBe(0);
      expect.soft(await axeFindings(page), `${name}, ${look.name}`).toEqual([]);
      await page.screenshot({ path: join(PICTURES, `${name}-${look.name.replace(' ', '-')}.png`) });
    }
    await lookAt(page, LOOKS[0]!);
  };

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    server = startCommand(['serve', '--port', '0', '--data', join(folder, 'data')]);
    address = await new Promise<string>((found, lost) => {
      server.child.stdout!.on('data', (chunk: Buffer) => {
        const match = /http:\/\/127\.0\.0\.1:\d+\//.exec(chunk.toString());
        if (match) found(match[0]);
      });
      void server.ended.then(({ err }) => lost(new Error(err)));
    });
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    // the figure goes where it goes at once: its motion is drawn by the processor here, and is looked at in figure-marks and book-page
    context = await browser.newContext({
      viewport: { width: 1440, height: 900 },
      acceptDownloads: true,
      reducedMotion: 'reduce',
    });
    page = watched(await context.newPage());
  });
  afterAll(async () => {
    await browser?.close();
    server?.child.kill('SIGTERM');
    await server?.ended;
    rmSync(folder, { recursive: true, force: true });
  });

  it('takes a model that is dropped, tells how far it is, and writes its book', async () => {
    const model = writeStl(quickHelm());
    await page.goto(address);
    await page.getByRole('heading', { name: 'Helmwright' }).waitFor();
    await expectWell('shelf-empty');
    const bytes = await page.evaluateHandle(
      (base64) => Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)),
      Buffer.from(model).toString('base64'),
    );
    await page.evaluate((body) => {
      const data = new DataTransfer();
      data.items.add(new File([body], 'storm-dome.stl'));
      window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
    }, bytes);
    await page.waitForURL(/\/builds\//);
    id = page.url().split('/').at(-1)!;
    const said = new Set<string>();
    await until(async () => {
      said.add(
        (await page
          .locator('.work-says')
          .textContent()
          .catch(() => '')) ?? '',
      );
      return (await state()).computing === null && (await state()).text !== null;
    }).toBe(true);
    expect([...said].filter((words) => /\d%$/.test(words)).length, [...said].join(' | ')).toBeGreaterThan(0);
    const { text } = await settled();
    expect(text?.chapters.map(({ state: standing }) => standing)).toEqual(Array(8).fill('computed'));
  });

  it('computes Printing again, and only Printing, when the layer height is changed in its sentence', async () => {
    const before = await settled();
    await setNumber('Layer height', '0.3');
    await until(async () => (await state()).build.print.layerMm).toBe(0.3);
    const after = await settled();
    expect(print(after, 'printing')).not.toBe(print(before, 'printing'));
    for (const chapter of ['model', 'wearer', 'pieces']) expect(print(after, chapter)).toBe(print(before, chapter));
  });

  it('says the range of a number out of it, and sends nothing', async () => {
    const { version } = await state();
    await setNumber('Layer height', '7');
    const layer = page.getByRole('spinbutton', { name: 'Layer height' });
    expect(await layer.getAttribute('aria-invalid')).toBe('true');
    await layer.press('Escape');
    expect(await layer.inputValue()).toBe('0.30');
    expect((await state()).version).toBe(version);
  });

  it('divides again for another bed, undoes twice, and keeps everything over a reload', async () => {
    await setNumber('Bed width', '160');
    await until(async () => (await state()).build.machines[0]?.bedMm[0]).toBe(160);
    expect((await settled()).summary?.numbers.pieces).toBeGreaterThan(1);
    for (const left of [0.3, 0.2]) {
      await page.getByRole('button', { name: 'Undo' }).click();
      await until(async () => [
        (await state()).build.machines[0]?.bedMm[0],
        (await state()).build.print.layerMm,
      ]).toEqual([220, left]);
    }
    await settled();
    await page.reload();
    await until(() => page.getByRole('spinbutton', { name: 'Layer height' }).inputValue()).toBe('0.20');
    expect(await state()).toMatchObject({ canUndo: false, canRedo: true, version: 1 });
  });

  it('shows an edit of one tab in the other', async () => {
    const other = watched(await context.newPage());
    await other.goto(`${address}builds/${id}`);
    await other.getByRole('spinbutton', { name: 'Layer height' }).waitFor();
    await setNumber('Layer height', '0.24');
    await until(() => other.getByRole('spinbutton', { name: 'Layer height' }).inputValue()).toBe('0.24');
    await setNumber('Infill', '20', other);
    await until(() => page.getByRole('spinbutton', { name: 'Infill', exact: true }).inputValue()).toBe('20');
    await other.close();
    await settled();
  });

  it('is well to look at and to hear', () => expectWell('book'));

  it('reads two variants side by side, with what differs in words and numbers', async () => {
    await page.getByRole('button', { name: 'copy this book' }).click();
    await page.waitForURL(/\/beside\//);
    const copy = decodeURIComponent(page.url().split('/').at(-1)!);
    const changed = await page.request.patch(`${address}api/builds/${copy}`, {
      data: { path: 'machines.0.bedMm.2', value: 110 },
    });
    expect(changed.ok()).toBe(true);
    await settled(copy);
    await page.locator('.beside-title', { hasText: 'another choice' }).waitFor({ timeout: 90_000 });
    const tables = page.locator('.beside-tables');
    const values = () =>
      tables.locator('input').evaluateAll((all) => all.map((each) => (each as HTMLInputElement).value));
    await until(values).toEqual(['250', '110']);
    const [left, right] = [await state(), await state(copy)];
    expect(right.summary!.numbers.pieces).toBeGreaterThan(left.summary!.numbers.pieces!);
    await until(() => page.locator('.beside .standfirst').textContent()).toMatch(/piece/);
    await expectWell('beside');
  }, 300_000);

  it("brings yesterday's version back, of a book that was taken out and in again", async () => {
    const whole = await page.request.get(`${address}api/builds/${id}/whole.zip`);
    const parts = unzipSync(await whole.body());
    const log = JSON.parse(strFromU8(parts['log.json']!)) as { versions: { madeAt: string; number: number }[] };
    const aged = log.versions.map((version, index) => ({
      ...version,
      madeAt: new Date(Date.now() - (log.versions.length - index < 3 ? 0 : DAY_MS)).toISOString(),
    }));
    const archive = join(folder, 'yesterday.zip');
    writeFileSync(
      archive,
      zipSync({ ...parts, 'log.json': strToU8(JSON.stringify({ ...log, versions: aged })) }, { level: 0 }),
    );
    await page.goto(address);
    await page.locator('input[type=file][accept*=".zip"]').first().setInputFiles(archive);
    await page.waitForURL(/\/builds\//);
    const taken = page.url().split('/').at(-1)!;
    expect(taken).not.toBe(id);
    await settled(taken);
    const now = await state(taken);
    await page.getByRole('link', { name: 'History' }).first().click();
    await page.waitForURL(/\/history$/);
    await page.getByRole('heading', { name: /^yesterday/i }).waitFor();
    await expectWell('history');
    await page.getByRole('button', { name: /^Bring back version 3/ }).click();
    await until(async () => (await state(taken)).version).toBe(now.version + 1);
    expect((await settled(taken)).build.machines[0]?.bedMm[0]).toBe(160);
  });

  it('keeps machines and materials in the workshop, and offers them to the book', async () => {
    await page.goto(`${address}workshop`);
    await page.getByRole('heading', { name: 'Machines' }).waitFor();
    await expectWell('workshop');
    await page.goto(address);
    await until(() => page.locator('main svg').count()).toBeGreaterThan(0);
    await expectWell('shelf');
  });

  it('gives the whole kit as one file', async () => {
    await page.goto(`${address}builds/${id}`);
    const [download] = await Promise.all([
      page.waitForEvent('download', { timeout: 90_000 }),
      page.getByRole('link', { name: 'the whole kit' }).click(),
    ]);
    const kit = join(folder, 'kit.zip');
    await download.saveAs(kit);
    expect(Object.keys(unzipSync(readFileSync(kit)))).toEqual(
      expect.arrayContaining(['book.html', 'build.json', 'kit.3mf', 'plan.json']),
    );
  });

  it('takes pictures of every chapter, in both tones', async () => {
    for (const look of LOOKS) {
      await lookAt(page, look);
      for (const chapter of ['model', 'wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface']) {
        await page
          .locator(`#${chapter}`)
          .evaluate((element) => element.scrollIntoView({ block: 'start', behavior: 'instant' }));
        await page.waitForTimeout(look.width > 900 ? 1500 : 200);
        await page.screenshot({ path: join(PICTURES, `${chapter}-${look.name.replace(' ', '-')}.png`) });
      }
    }
  });

  it('left nothing in the console', () => {
    expect(complaints).toEqual([]);
  });
});
