// What axe finds on the book page: in both tones, on a desk and on a phone, in every state a book can be in.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { askedPage } from '../support/asked-page.ts';
import { axeFindings, LOOKS, lookAt, smallTargets, tooWidePx } from '../support/axe.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { fullPage } from '../support/full-page.ts';
import { refusedPage } from '../support/mended-page.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';

describe('the book page for every reader', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let full: PageServer;
  let refused: PageServer;
  let asked: PageServer;

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    full = await startPage(fullPage());
    refused = await startPage(refusedPage());
    asked = await startPage(askedPage());
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
  });
  afterAll(async () => {
    await browser?.close();
    await full?.close();
    await refused?.close();
    await asked?.close();
  });

  describe.each(LOOKS)('$name', (look) => {
    it('has nothing for axe to find in a computed book', async () => {
      await lookAt(page, look);
      await page.goto(full.address);
      await page.locator('#printing').waitFor();
      if (look.width > 900) await page.locator('.figure-canvas').waitFor();
      expect(await axeFindings(page)).toEqual([]);
      expect(await tooWidePx(page)).toBe(0);
      expect(await smallTargets(page)).toEqual([]);
      await page.screenshot({ path: join(PICTURES, `book-axe-${look.name.replace(' ', '-')}.png`) });
    });

    it('has nothing for axe to find while it is computed again', async () => {
      full.show({ stale: ['pieces', 'printing'], computing: { chapter: 'pieces', fraction: 0.4, doing: 'searching' } });
      await page.getByText('Being computed again').first().waitFor();
      expect(await axeFindings(page)).toEqual([]);
      full.show({ stale: [], computing: null });
      await page.getByText('questions are open').first().waitFor({ state: 'attached' });
    });

    it('has nothing for axe to find while it asks before deleting', async () => {
      await page.getByRole('button', { name: 'Delete it' }).click();
      await page.getByRole('button', { name: 'keep it' }).waitFor();
      expect(await axeFindings(page)).toEqual([]);
      await page.getByRole('button', { name: 'keep it' }).click();
    });

    it('has nothing for axe to find where seams are asked for, and while one is moved', async () => {
      await page.goto(asked.address);
      const height = page.getByRole('spinbutton', { name: 'Height, Brow' });
      await height.waitFor();
      expect(await axeFindings(page)).toEqual([]);
      expect(await tooWidePx(page)).toBe(0);
      expect(await smallTargets(page)).toEqual([]);
      await height.focus();
      await page.keyboard.press('ArrowUp');
      await page.locator('.live-cost:not(:empty)').waitFor();
      await page.keyboard.press('ArrowUp');
      await page.getByText('there about').waitFor();
      expect(await axeFindings(page)).toEqual([]);
      await page.screenshot({ path: join(PICTURES, `asked-axe-${look.name.replace(' ', '-')}.png`) });
      await page.keyboard.press('Escape');
    });

    it('has nothing for axe to find in a refused book', async () => {
      await page.goto(refused.address);
      await page.getByText('This could not be done').waitFor();
      expect(await axeFindings(page)).toEqual([]);
      expect(await tooWidePx(page)).toBe(0);
    });
  });

  it('shows a way past the running head to whoever uses keys', async () => {
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.goto(full.address);
    await page.locator('#printing').waitFor();
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Skip to the book');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('book');
  });

  it('left nothing in the console', () => {
    expect(complaints).toEqual([]);
  });
});
