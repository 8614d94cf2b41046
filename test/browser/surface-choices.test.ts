// The finish changed on the page: papers one by one, a paper more and one less, a number of the bench, paints; at a desk and on a phone.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { surfaceCautions, writeSurface } from '../../src/workshop/book/write-surface.ts';
import type { PiecesRecord } from '../../src/workshop/process/pieces-record.ts';
import { SurfaceSettings } from '../../src/workshop/surface/surface.ts';
import { askedBuild, askedPage } from '../support/asked-page.ts';
import { axeFindings, LOOKS, lookAt, tooWidePx } from '../support/axe.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { type PageServer, startPage } from '../support/page-server.ts';
import { surfaceRecord } from '../support/surface-record.ts';

const PICTURES = 'test/out/pictures';
const WORDS = { wash: 'water', target: 'camera', seams: 'filler' } as const;

describe('the finish on the page', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let served: PageServer;
  const surface = () => served.state().build.surface;
  const until = <T>(read: () => T) => expect.poll(read, { timeout: 25_000, interval: 100 });

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    const given = askedPage();
    const build = { ...askedBuild(), surface: SurfaceSettings.parse(WORDS) };
    const record = surfaceRecord(build.surface);
    const pieces = { pieces: [{ id: 'A', name: 'crown' }] } as unknown as PiecesRecord;
    const text = given.state.text!;
    const chapters = text.chapters.map((chapter) =>
      chapter.name === 'surface'
        ? { ...chapter, blocks: writeSurface(build, pieces, record), margin: surfaceCautions(record) }
        : chapter,
    );
    served = await startPage({ ...given, state: { ...given.state, build, text: { ...text, chapters } } });
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    page = await context.newPage();
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(served.address);
    await page.getByText('It is finished for').scrollIntoViewIfNeeded();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await served?.close();
  });

  it('takes another paper, one more and one less', async () => {
    await page.getByRole('combobox', { name: 'Paper 1' }).selectOption({ label: 'P80' });
    await until(() => surface().ladder).toEqual([80, 180, 220, 320, 400]);
    await page.getByRole('button', { name: 'Add P500' }).click();
    await until(() => surface().ladder).toEqual([80, 180, 220, 320, 400, 500]);
    served.show({ build: { ...served.state().build, surface: { ...surface(), ladder: [120, 180, 220] } } });
    await until(() => surface().ladder).toHaveLength(3);
  });

  it('takes a number of the bench in its row', async () => {
    const dries = page.getByRole('spinbutton', { name: 'Primer dries before it is sanded' });
    await dries.fill('45');
    await dries.press('Enter');
    await until(() => surface().numbers.primerDryMin).toBe(45);
    await page.getByRole('spinbutton', { name: 'May stay for a camera, lit from the side' }).scrollIntoViewIfNeeded();
    await page.screenshot({ path: join(PICTURES, 'surface-numbers.png') });
  });

  it('takes other paints', async () => {
    await page.getByRole('combobox', { name: 'Colour', exact: true }).selectOption({ label: 'one colour of enamel' });
    await until(() => surface().paint.base).toBe('enamel');
    await page
      .getByRole('combobox', { name: 'When the clear coat goes on' })
      .selectOption({ label: 'before and after the wash' });
    await until(() => surface().clear.when).toBe('both');
  });

  it.each(LOOKS)('$name: nothing for axe to find, nothing too wide', async (look) => {
    await lookAt(page, look);
    await page.getByText('At the bench, in this order').scrollIntoViewIfNeeded();
    await page.screenshot({ path: join(PICTURES, `surface-bench-${look.name.replaceAll(' ', '-')}.png`) });
    expect(await axeFindings(page, '#surface')).toEqual([]);
    expect(await tooWidePx(page)).toBeLessThanOrEqual(0);
    expect(complaints).toEqual([]);
  });
});
