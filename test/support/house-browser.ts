// A page around the books in real Chromium over a made-up house: what it complains of, how it looks in both tones and on a phone.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { expect } from 'vitest';
import { axeFindings, LOOKS, lookAt, smallTargets, tooWidePx } from './axe.ts';
import { CHROMIUM_FLAGS } from './chromium.ts';
import { type House, type HouseServer, startHouse } from './house-server.ts';

const PICTURES = 'test/out/pictures';

export interface HouseBrowser {
  readonly page: Page;
  readonly server: HouseServer;
  /** What the console and the page itself complained of; calls that a test lets be refused are named in `allowed`. */
  readonly complaints: readonly string[];
  open(path: string): Promise<void>;
  picture(name: string): Promise<void>;
  close(): Promise<void>;
}

export async function openHouse(house: House, allowed: readonly RegExp[] = []): Promise<HouseBrowser> {
  mkdirSync(PICTURES, { recursive: true });
  const server = await startHouse(house);
  const browser: Browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' && !allowed.some((each) => each.test(message.text())))
      complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  return {
    page,
    server,
    complaints,
    open: async (path) => {
      await page.goto(`${server.address.slice(0, -1)}${path}`);
    },
    picture: async (name) => {
      await page.screenshot({ path: join(PICTURES, `${name}.png`) });
    },
    async close() {
      await browser.close();
      await server.close();
    },
  };
}

/** In both tones, on a desk and on a phone: axe finds nothing, nothing is wider than the window, and thumbs find every control. */
export async function expectGoodLooks({ page, picture }: HouseBrowser, name: string): Promise<void> {
  for (const look of LOOKS) {
    await lookAt(page, look);
    await page.waitForTimeout(400);
    await picture(`${name}-${look.name.replace(' ', '-')}`);
    expect(await axeFindings(page), `${name}, ${look.name}`).toEqual([]);
    expect(await tooWidePx(page), `${name}, ${look.name}: sides wider than the window`).toBe(0);
    expect(await smallTargets(page), `${name}, ${look.name}: targets`).toEqual([]);
  }
  await lookAt(page, LOOKS[0]!);
}
