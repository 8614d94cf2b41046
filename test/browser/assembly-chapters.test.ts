// The chapters Joints and Assembly on the page: another joint asked for and taken back, nothing cut off on a phone, nothing for axe to find.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assembledPage } from '../support/assembled-page.ts';
import { axeFindings, LOOKS, lookAt, smallTargets, tooWidePx } from '../support/axe.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';

describe('Joints and Assembly on the page', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let served: PageServer;

  const asked = () => served.state().build.joints.asked;
  const choice = (seam: string) => page.getByRole('combobox', { name: `Joint of ${seam}` });

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    served = await startPage(assembledPage(4));
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(served.address);
    await page.locator('#joints').waitFor();
  });
  afterAll(async () => {
    await browser?.close();
    await served?.close();
  });

  it('asks for another joint at one seam, changes its mind, and takes it back by undo', async () => {
    await choice('A-B').selectOption({ label: 'magnets' });
    await expect
      .poll(() => asked().map(({ name, join: kind }) => `${name} ${kind}`))
      .toEqual(['C-Q magnets', 'A-B magnets']);
    await choice('A-B').selectOption({ label: 'screws' });
    await expect.poll(() => asked().map(({ join: kind }) => kind)).toEqual(['magnets', 'screws']);
    await page.keyboard.press('Control+z');
    await expect.poll(() => asked().at(-1)?.join).toBe('magnets');
    await choice('A-B').selectOption('');
    await expect.poll(() => asked().map(({ name }) => name)).toEqual(['C-Q']);
  });

  it('lets a wish whose seam is gone be forgotten', async () => {
    await page.getByRole('button', { name: /Forget it/ }).click();
    await expect.poll(asked).toEqual([]);
  });

  it('reaches every choice by keys', async () => {
    await choice('A-B').focus();
    const reached: (string | null)[] = [];
    for (let i = 0; i < 6; i++) {
      reached.push(await page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? null));
      await page.keyboard.press('Tab');
    }
    expect(reached).toEqual(['A-B', 'A-C', 'A-D', 'B-C', 'B-D', 'C-D'].map((id) => `Joint of ${id}`));
  });

  it.each(LOOKS)('$name: nothing for axe to find, and every table can be reached to its end', async (look) => {
    await lookAt(page, look);
    await page.goto(served.address);
    for (const name of ['joints', 'assembly']) {
      await page.locator(`#${name}`).waitFor();
      expect(await axeFindings(page, `#${name}`)).toEqual([]);
      const cut = await page.locator(`#${name} section.table`).evaluateAll((tables) =>
        tables
          .filter((table) => {
            const { overflowX } = getComputedStyle(table);
            return table.scrollWidth > table.clientWidth && overflowX !== 'auto' && overflowX !== 'scroll';
          })
          .map((table) => table.getAttribute('aria-label')),
      );
      expect(cut).toEqual([]);
      await page
        .locator(`#${name} section.table`)
        .first()
        .evaluate((element) => element.scrollIntoView({ block: 'center', behavior: 'instant' }));
      await page.screenshot({ path: join(PICTURES, `${name}-${look.name.replace(' ', '-')}.png`) });
    }
    expect(await tooWidePx(page)).toBe(0);
    expect(await smallTargets(page)).toEqual([]);
  });

  it('left nothing in the console', () => expect(complaints).toEqual([]));
});
