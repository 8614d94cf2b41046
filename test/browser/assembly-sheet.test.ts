// The sheet for the bench as it is printed: one A4 page for a helm in four pieces and for one in seven, nothing beyond its edges.
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { staticBookHtml } from '../../src/app/web/static-book.tsx';
import { assemblySheet } from '../../src/workshop/book/assembly-sheet.ts';
import type { BookResults } from '../../src/workshop/book/graph.ts';
import { assembledHelm } from '../support/assembled-helm.ts';
import { assembledPage, drawingsOf } from '../support/assembled-page.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { BUILT } from '../support/command.ts';

const PICTURES = 'test/out/pictures';
/** A4 less the margins of its page, at 96 pixels an inch. */
const [WIDE_PX, HIGH_PX] = [186, 275].map((mm) => (mm / 25.4) * 96) as [number, number];

function bookOf(numPieces: 4 | 7): string {
  const results = assembledHelm(numPieces);
  const { state } = assembledPage(numPieces);
  return staticBookHtml({
    text: state.text!,
    drawings: drawingsOf(results),
    sheets: [assemblySheet(state.build, results as BookResults)!],
    figureBytes: new Uint8Array(),
    assets: JSON.parse(readFileSync(join(BUILT, 'web', 'static-book.json'), 'utf8')) as never,
  });
}

/** Pages of a PDF as Chromium writes it. */
function numPages(pdf: Buffer): number {
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}

describe.each([4, 7] as const)('the sheet of a helm in %i pieces', (numPieces) => {
  let browser: Browser;
  let page: Page;
  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: Math.round(WIDE_PX), height: Math.round(HIGH_PX) } });
    await page.setContent(bookOf(numPieces));
    await page.emulateMedia({ media: 'print' });
    await page.evaluate(() => document.fonts.ready);
  });
  afterAll(async () => browser?.close());

  it('adds one page to the printed book', async () => {
    const whole = numPages(await page.pdf({ preferCSSPageSize: true }));
    await page.addStyleTag({ content: '.bench-sheet { display: none !important }' });
    const without = numPages(await page.pdf({ preferCSSPageSize: true }));
    await page.evaluate(() => [...document.querySelectorAll('style')].at(-1)?.remove());
    expect(without).toBeGreaterThan(1);
    expect(whole - without).toBe(1);
  });

  it('has room to spare below, and nothing beyond its sides', async () => {
    const sheet = page.locator('.bench-sheet');
    const { height, over } = await sheet.evaluate((element) => {
      const box = element.getBoundingClientRect();
      const inside = [...element.querySelectorAll('*')].map((each) => each.getBoundingClientRect().right);
      return { height: box.height, over: Math.max(...inside) - box.right };
    });
    process.stdout.write(`sheet of ${numPieces} pieces: ${Math.round((100 * height) / HIGH_PX)} percent of the page\n`);
    expect(height).toBeLessThan(HIGH_PX);
    expect(over).toBeLessThan(1);
    await sheet.screenshot({ path: join(PICTURES, `assembly-sheet-${numPieces}.png`) });
  });
});
