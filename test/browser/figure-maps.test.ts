// The maps of Surface in the figure: each chosen by keys and drawn, the one that is read otherwise, on the page and in book.html.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { staticBookHtml } from '../../src/app/web/static-book.tsx';
import { axeFindings, LOOKS, lookAt, tooWidePx } from '../support/axe.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { BUILT } from '../support/command.ts';
import { mappedPage } from '../support/mapped-page.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';
const LABELS = [
  'rings of layers',
  'where filler goes',
  'what sands where',
  'walls that a sander could soften',
] as const;
const MAPS = ['rings', 'filling', 'reach', 'warm'] as const;
/** A picture in software on a busy machine may take seconds. */
const until = <T>(read: () => T) => expect.poll(read, { timeout: 25_000, interval: 150 });

describe('the maps of the surface', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let served: PageServer;

  const room = () => page.locator('.plate-room');
  const marked = () => room().getAttribute('data-marked');
  const list = () => page.getByRole('combobox', { name: 'What is marked on the figure' });
  const caption = () => page.locator('.plate figcaption').textContent();
  /** Down to where something stands a little above the middle of the window. */
  const readTo = (selector: string) =>
    page.evaluate((at) => {
      const top = document.querySelector(at)!.getBoundingClientRect().top;
      window.scrollBy({ top: top - window.innerHeight * 0.3, behavior: 'instant' });
    }, selector);
  const drawn = async (): Promise<string> => {
    // at rest it is drawn once more in full
    let last = '';
    await until(async () => {
      const before = last;
      last = (await page.locator('.figure-canvas').screenshot()).toString('base64');
      return before === last;
    }).toBe(true);
    return last;
  };

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    served = await startPage(mappedPage());
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1280, height: 800 }, reducedMotion: 'reduce' });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(served.address);
    await page.locator('.figure-canvas').waitFor();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await served?.close();
  });

  it('can be chosen in their chapter alone', async () => {
    expect(await list().count()).toBe(0);
    expect(await marked()).toBe('none');
    await readTo('#surface h2');
    await list().waitFor();
    await until(marked).toBe('rings');
    expect(await list().locator('option').allTextContents()).toEqual(['what the text comes to', ...LABELS]);
  });

  it('follow what is read', async () => {
    for (const map of ['reach', 'filling'] as const) {
      await readTo(`[data-map="${map}"]`);
      await until(marked).toBe(map);
    }
    await readTo('#surface h2');
    await until(marked).toBe('rings');
  });

  it('are each drawn when they are chosen by keys, whatever is read', async () => {
    await list().focus();
    const pictures = new Set([await drawn()]);
    for (const [index, map] of MAPS.entries()) {
      await page.keyboard.press('ArrowDown');
      await until(marked).toBe(map);
      expect(await list().inputValue()).toBe(map);
      expect(await page.locator('.plate figcaption .choice-words').first().textContent()).toBe(LABELS[index]);
      pictures.add(await drawn());
      await page.screenshot({ path: join(PICTURES, `map-${map}.png`) });
    }
    // what the text comes to was the first of them
    expect(pictures.size).toBe(4);
    expect(await caption()).toContain('crossed red where a sander gets');
    await readTo('[data-map="reach"]');
    await expect.poll(marked).toBe('warm');
    await list().selectOption('along');
    await until(marked).toBe('reach');
  });

  it.each(LOOKS)('$name: fits, and nothing for axe to find', async (look) => {
    await lookAt(page, look);
    await readTo('#surface h2');
    expect(await tooWidePx(page)).toBe(0);
    for (const within of look.width > 900 ? ['#surface', '.plate'] : ['#surface'])
      expect(await axeFindings(page, within), within).toEqual([]);
  });

  it('can be chosen and followed in book.html', async () => {
    const { state, figure } = mappedPage();
    const assets = JSON.parse(readFileSync(join(BUILT, 'web', 'static-book.json'), 'utf8')) as Parameters<
      typeof staticBookHtml
    >[0]['assets'];
    const html = staticBookHtml({
      text: state.text!,
      drawings: state.drawings,
      sheets: [],
      figureBytes: figure,
      assets,
    });
    const file = resolve(PICTURES, 'mapped-book.html');
    writeFileSync(file, html);
    // a small window: drawn by the processor here
    await lookAt(page, { ...LOOKS[1]!, width: 960, height: 640 });
    await page.goto(pathToFileURL(file).href);
    await page.locator('.figure-canvas').waitFor();
    const chooser = page.getByLabel('Marked on it');
    expect(await chooser.isVisible()).toBe(false);
    await readTo('[data-map="reach"]');
    await until(marked).toBe('reach');
    const asRead = await drawn();
    await chooser.focus();
    await page.keyboard.press('End');
    await until(marked).toBe('warm');
    expect(await caption()).toContain('crossed red');
    expect(await drawn()).not.toBe(asRead);
    await page.screenshot({ path: join(PICTURES, 'map-in-book.png') });
    expect(await axeFindings(page, '.plate')).toEqual([]);
  });

  it('left nothing in the console', () => {
    expect(complaints).toEqual([]);
  });
});
