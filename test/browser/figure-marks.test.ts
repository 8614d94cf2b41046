// The page with made-up builds behind it: the model as it came, places pointed at, a refused chapter's choices, a scene of two files.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { applyTransform } from '../../src/mesh/transform.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { FROM_FILE } from '../support/mended-helm.ts';
import { mendedPage, refusedPage } from '../support/mended-page.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';
type Point = readonly [number, number, number];
/** A picture in software on a busy machine may take seconds. */
const until = <T>(read: () => T) => expect.poll(read, { timeout: 25_000, interval: 150 });

describe('the figure and its marks', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let mended: PageServer;
  let refused: PageServer;

  const picture = (name: string) => page.screenshot({ path: join(PICTURES, `${name}.png`) });
  const shows = (name: string) => page.getByLabel('What the figure shows').selectOption(name);
  const room = () => page.locator('.plate-room');
  const marks = () => page.locator('.figure-labels .label:not([hidden]) b').allTextContents();
  const click = async (across: number, down: number): Promise<void> => {
    const box = (await room().boundingBox())!;
    await page.mouse.click(box.x + box.width * across, box.y + box.height * down);
  };

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    mended = await startPage(mendedPage());
    refused = await startPage(refusedPage());
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    // what moves on its own would be pointed at on its way
    page = await browser.newPage({ viewport: { width: 1440, height: 900 }, reducedMotion: 'reduce' });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(mended.address);
    await page.locator('.figure-canvas').waitFor();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await mended?.close();
    await refused?.close();
  });

  it('shows the model as it came, with numbers where it was mended, and back', async () => {
    await shows('as-read');
    await until(marks).toEqual(['2', '3']);
    expect(await page.locator('.plate figcaption').textContent()).toContain('red is where its surface ends');
    await until(() => page.locator('.figure-labels circle[data-behind]').count()).toBe(1);
    await picture('as-it-came');
    await shows('model');
    await until(marks).toEqual([]);
    await shows('follow');
  });

  it('sets both drawings side by side in the text, where the plate is too', async () => {
    const drawings = page.locator('.pair .drawing');
    expect(await drawings.count()).toBe(2);
    const [left, right] = [(await drawings.nth(0).boundingBox())!, (await drawings.nth(1).boundingBox())!];
    expect(left.y).toBeCloseTo(right.y, 0);
    expect(right.x).toBeGreaterThan(left.x + left.width);
  });

  it('takes two places by pointer and the third by keys, and sets them in the space of the file', async () => {
    await page.getByRole('button', { name: 'pick three places that lie level' }).click();
    await until(() => page.locator('.picking-asks b').textContent()).toBe('first');
    await click(0.02, 0.02);
    await click(0.4, 0.6);
    await until(() => page.locator('.picking-asks b').textContent()).toBe('second');
    await click(0.6, 0.55);
    await until(marks).toEqual(['1', '2']);
    await room().press('ArrowLeft');
    await picture('picking');
    await room().press('Enter');
    await until(() => mended.changes.length).toBe(1);
    const { path, value } = mended.changes[0]!;
    expect(path).toBe('model.level.levelPoints');
    for (const point of value as unknown as Point[]) expect(awayFromDome(point)).toBeLessThan(1.5);
    expect(mended.state().build.model.level.levelPoints).toEqual(value);
    await until(marks).toEqual(['1', '2', '3']);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('forget them');
  });

  it('forgets them, and undoes that', async () => {
    await page.getByRole('button', { name: 'forget them' }).click();
    await until(() => mended.state().build.model.level.levelPoints).toBeNull();
    await page.getByRole('button', { name: 'pick three places that lie level' }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'pick others' }).waitFor();
    expect(mended.state().build.model.level.levelPoints).toHaveLength(3);
  });

  it('does not take a place twice, gives the last one back, and gives up on Escape', async () => {
    const sent = mended.changes.length;
    await page.getByRole('button', { name: 'pick others' }).click();
    await until(() => page.locator('.picking-asks b').textContent()).toBe('first');
    // by keys in the middle: the same place of the model even when the words under the figure have made its room smaller in between
    await room().press('Enter');
    await until(() => page.locator('.picking-asks b').textContent()).toBe('second');
    await room().press('Enter');
    await until(() => page.locator('.picking-says').textContent()).toContain('too near');
    await page.keyboard.press('Backspace');
    await until(() => page.locator('.picking-asks b').textContent()).toBe('first');
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'pick others' }).waitFor();
    expect(mended.changes.length).toBe(sent);
  });

  it('turns the figure by dragging without taking a place', async () => {
    await page.getByRole('button', { name: 'pick others' }).click();
    await until(() => page.locator('.picking-asks b').textContent()).toBe('first');
    const box = (await room().boundingBox())!;
    await page.mouse.move(box.x + 200, box.y + 300);
    await page.mouse.down();
    await page.mouse.move(box.x + 320, box.y + 310, { steps: 4 });
    await page.mouse.up();
    expect(await page.locator('.picking-asks b').textContent()).toBe('first');
    await page.keyboard.press('Escape');
  });

  it('lays the figure over a narrow window while places are picked', async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.getByRole('button', { name: 'pick others' }).click();
    await page.locator('.plate-sheet .figure-canvas').waitFor();
    await until(async () => {
      await click(0.5, 0.5);
      return page.locator('.picking-asks b').textContent();
    }).toBe('second');
    await picture('picking-phone');
    await page.getByRole('button', { name: 'give up' }).last().click();
    await page.locator('.plate-sheet').waitFor({ state: 'detached' });
    const overflow = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(overflow).toBeLessThanOrEqual(0);
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  it('keeps the choices of a refused chapter live, beside the model as it came', async () => {
    await page.goto(refused.address);
    await page.locator('.figure-canvas').waitFor();
    expect(await page.locator('.plate figcaption').textContent()).toContain('No shell could be made of it yet');
    await picture('refused');
    await page.getByLabel('Large openings').selectOption({ label: 'the rims of a sheet that is given a wall' });
    await until(() => refused.changes).toEqual([{ path: 'model.mend.openings', value: 'wall' }]);
    expect(refused.state().build.model.mend.openings).toBe('wall');
  });

  it('makes one file of a scene and its buffer, and names a missing one', async () => {
    const scene = JSON.stringify({ asset: { version: '2.0' }, buffers: [{ uri: 'half%20mask.bin', byteLength: 3 }] });
    const gltf = { name: 'mask.gltf', mimeType: 'model/gltf+json', buffer: Buffer.from(scene) };
    const bin = { name: 'half mask.bin', mimeType: 'application/octet-stream', buffer: Buffer.from([1, 2, 3]) };
    const input = page.locator('input[type=file]').first();
    await page.goto(mended.home);
    await input.setInputFiles([gltf]);
    await until(() => page.getByRole('alert').textContent()).toContain('"half mask.bin"');
    await picture('missing-file');
    expect(mended.models).toHaveLength(0);
    await input.setInputFiles([bin, gltf]);
    await page.waitForURL(/\/builds\/one/);
    expect(mended.models.map(({ name }) => name)).toEqual(['mask.gltf']);
    const sent = JSON.parse(new TextDecoder().decode(mended.models[0]!.bytes)) as { buffers: { uri: string }[] };
    expect(sent.buffers[0]!.uri).toBe('data:application/octet-stream;base64,AQID');
  });

  it('left nothing in the console', () => {
    expect(complaints).toEqual([]);
  });
});

/** How far a place of the file lies from the outer wall of the dome, mm of the file. */
function awayFromDome(point: Point): number {
  const [x, y, z] = applyTransform(FROM_FILE, point);
  const share = Math.hypot(x / 115, y / 140, z / 150);
  return Math.abs(1 - share) * 130;
}
