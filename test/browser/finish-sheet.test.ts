// The finish on one page as it is printed: one A4 page with the most steps there can be, nothing beyond its edges.
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { staticBookHtml } from '../../src/app/web/static-book.tsx';
import { finishSheet } from '../../src/workshop/book/finish-sheet.ts';
import type { BookResults } from '../../src/workshop/book/graph.ts';
import { SurfaceSettings } from '../../src/workshop/surface/surface.ts';
import { askedBuild, askedPage } from '../support/asked-page.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { BUILT } from '../support/command.ts';
import { surfaceRecord } from '../support/surface-record.ts';

const PICTURES = 'test/out/pictures';
/** A4 less the margins of its page, at 96 pixels an inch. */
const [WIDE_PX, HIGH_PX] = [186, 275].map((mm) => (mm / 25.4) * 96) as [number, number];
/** Both fillers, a wash, clear coat on both sides of it. */
const MUCH = SurfaceSettings.parse({
  rings: 'resin',
  seams: 'filler',
  wash: 'spirit',
  paint: { base: 'enamel' },
  clear: { base: 'water', when: 'both' },
});

const SIDE =
  '<svg viewBox="0 0 300 360"><title>A side</title><rect width="300" height="360" fill="none" stroke="black"/></svg>';

let browser: Browser;
let page: Page;
beforeAll(async () => {
  mkdirSync(PICTURES, { recursive: true });
  const { state } = askedPage();
  const build = { ...askedBuild(), surface: MUCH };
  const surface = { state: 'computed', record: surfaceRecord(MUCH) } as unknown as BookResults['surface'];
  const html = staticBookHtml({
    text: state.text!,
    // from two sides, each higher than wide
    drawings: { ...state.drawings, filling: SIDE + SIDE },
    sheets: [finishSheet(build, { surface })!],
    figureBytes: new Uint8Array(),
    assets: JSON.parse(readFileSync(join(BUILT, 'web', 'static-book.json'), 'utf8')) as never,
  });
  browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
  page = await browser.newPage({ viewport: { width: Math.round(WIDE_PX), height: Math.round(HIGH_PX) } });
  await page.setContent(html);
  await page.emulateMedia({ media: 'print' });
  await page.evaluate(() => document.fonts.ready);
}, 60_000);
afterAll(async () => browser?.close());

it('has room on its page, and nothing beyond its sides', async () => {
  const sheet = page.locator('.bench-sheet');
  const { height, over } = await sheet.evaluate((element) => {
    const box = element.getBoundingClientRect();
    const inside = [...element.querySelectorAll('*')].map((each) => each.getBoundingClientRect().right);
    return { height: box.height, over: Math.max(...inside) - box.right };
  });
  await sheet.screenshot({ path: join(PICTURES, 'finish-sheet.png') });
  expect(height).toBeLessThan(HIGH_PX);
  expect(over).toBeLessThan(1);
});

it('is not there where nothing is seen', () => {
  const record = surfaceRecord(MUCH);
  const unseen = { ...record, totals: { ...record.totals, areaMm2: 0 } };
  const surface = { state: 'computed', record: unseen } as unknown as BookResults['surface'];
  expect(finishSheet(askedBuild(), { surface })).toBeNull();
});
