// The maker's say on the page: a seam held, moved while its cost is told, asked for by pointing; areas kept clear; machines of pieces.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { lineOnTriangles } from '../../src/geometry/line-on-triangles.ts';
import type { AskedOfSeams } from '../../src/workshop/process/asked-seams.ts';
import { askedPage, helmOutside } from '../support/asked-page.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';
/** A picture in software on a busy machine may take seconds. */
const until = <T>(read: () => T) => expect.poll(read, { timeout: 25_000, interval: 100 });

describe('what is asked of the seams', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let served: PageServer;

  const picture = (name: string) => page.screenshot({ path: join(PICTURES, `${name}.png`) });
  const asked = (): AskedOfSeams => served.state().build.pieces.asked;
  const cost = () => page.locator('.live-cost');
  const height = () => page.getByRole('spinbutton', { name: 'Height, Brow' });

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    served = await startPage(askedPage());
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
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

  it('tells cost and length of a seam while its number is stepped, and sets it when the sentence is left', async () => {
    await height().focus();
    // a step up and down again waits for the figure's data
    await page.keyboard.press('ArrowUp');
    await until(() => cost().textContent()).toMatch(/there about/);
    // The time from the key to the changed words, measured in the page itself.
    await page.evaluate(() => {
      const words = document.querySelector('.live-cost')!;
      const times: number[] = [];
      let pressed = 0;
      window.addEventListener('keydown', () => (pressed = performance.now()), { capture: true });
      new MutationObserver(() => times.push(performance.now() - pressed)).observe(words, {
        childList: true,
        characterData: true,
        subtree: true,
      });
      Object.assign(window, { stepTimes: times });
    });
    const said: string[] = [];
    for (let step = 0; step < 10; step++) {
      await page.keyboard.press('ArrowUp');
      said.push((await cost().textContent()) ?? '');
    }
    const times = await page.evaluate(() => (window as unknown as { stepTimes: number[] }).stepTimes);
    const sorted = [...times].sort((a, b) => a - b);
    process.stdout.write(
      `cost told ${times.length} times, after ${sorted[Math.floor(sorted.length / 2)]?.toFixed(1)} ms in the middle, ${sorted.at(-1)?.toFixed(1)} ms at most\n`,
    );
    // a step that changes no digit changes no word
    expect(times.length).toBeGreaterThanOrEqual(new Set(said).size - 1);
    expect(new Set(said).size).toBeGreaterThan(4);
    // at 186 mm, by the same formula on the same surface
    const line = lineOnTriangles(helmOutside(), { normal: [0, 0, 1], offsetMm: 186 });
    expect(said.at(-1)).toContain(`${line.lengthMm.toFixed(0)}\u00a0mm on the outside`);
    expect(said.at(-1)).toContain(`${line.costMm.toFixed(0)}\u00a0mm in full view`);
    await picture('seam-moved-by-number');
    expect(served.changes).toEqual([]);
    await page.keyboard.press('Enter');
    await until(() => served.changes.length).toBe(1);
    expect(served.changes[0]!.path).toBe('pieces.asked.seams.0');
    const [seam] = asked().seams;
    expect(seam!.name).toBe('Brow');
    expect(seam!.normal![2]).toBeCloseTo(1, 9);
    expect(seam!.points[0]!.atMm[2]).toBeCloseTo(186, 3);
    // its first point still lies on its line on the surface
    const [x, y, z] = seam!.points[0]!.atMm;
    const ends = Array.from({ length: line.steps.length / 3 }, (_, i) => line.steps.subarray(i * 3, i * 3 + 3));
    expect(Math.min(...ends.map((end) => Math.hypot(end[0]! - x, end[1]! - y, end[2]! - z)))).toBeLessThan(0.01);
    await until(() => cost().textContent()).toBe('');
  });

  it('gives a seam back on Escape', async () => {
    const before = served.changes.length;
    await page.getByRole('spinbutton', { name: 'Rise to the back, Brow' }).focus();
    await page.keyboard.press('ArrowUp');
    await until(() => cost().textContent()).toMatch(/there about/);
    await page.keyboard.press('Escape');
    await until(() => cost().textContent()).toBe('');
    await page.keyboard.press('Tab');
    expect(served.changes).toHaveLength(before);
  });

  it('is pulled in the figure by hand and by keys', async () => {
    const before = served.changes.length;
    await page.getByRole('button', { name: 'move it in the figure: Brow' }).click();
    await until(() => page.locator('.plate figcaption').textContent()).toContain('Take the blue line of Brow');
    await until(() => page.locator('.plate-moving').count()).toBe(1);
    await page.waitForTimeout(900);
    await picture('seam-in-hand');
    await page.locator('.plate-room').focus();
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Shift+ArrowUp');
    await until(() => cost().textContent()).toMatch(/there about/);
    await page.keyboard.press('Enter');
    await until(() => served.changes.length).toBe(before + 1);
    expect(asked().seams[0]!.normal![2]).toBeLessThan(1);
    // by hand: somewhere on the blue line, which is looked for down the cheek
    await page.getByRole('button', { name: 'move it in the figure: Brow' }).click();
    await page.waitForTimeout(1000);
    const box = (await page.locator('.plate-room').boundingBox())!;
    const was = asked().seams[0]!.points[0]!.atMm[2];
    const told = (await cost().textContent()) ?? '';
    for (let down = 0.4; down < 0.75 && (await cost().textContent()) === told; down += 0.02) {
      const [x, y] = [box.x + box.width * 0.72, box.y + box.height * down];
      await page.mouse.move(x, y);
      await page.mouse.down();
      await page.mouse.move(x, y - 12, { steps: 3 });
      await page.mouse.move(x, y - 30, { steps: 3 });
      await page.mouse.up();
      await page.waitForTimeout(100);
    }
    // let go of it is in hand still, until it is set
    await until(() => cost().textContent()).not.toBe(told);
    expect(served.changes).toHaveLength(before + 1);
    await page.getByRole('button', { name: 'Set it here' }).click();
    await until(() => served.changes.length).toBe(before + 2);
    expect(asked().seams[0]!.points[0]!.atMm[2]).not.toBeCloseTo(was, 0);
  });

  it('holds a seam that was found, under a name of its own that may be changed', async () => {
    await page.getByRole('button', { name: 'hold it: Seam B-C' }).click();
    await until(() => asked().seams.length).toBe(2);
    expect(asked().seams[1]).toMatchObject({ name: 'Seam B-C', normal: [0, 0, 1] });
    expect(asked().seams[1]!.points[0]!.atMm).toEqual([60, -137, 90]);
    await until(() => page.getByRole('button', { name: 'hold it: Seam B-C' }).count()).toBe(0);
    const name = page.getByRole('textbox', { name: 'Name of the area' });
    await name.fill('Crest');
    await name.press('Enter');
    await until(() => asked().clear[0]!.name).toBe('Crest');
  });

  it('takes things away again', async () => {
    await page.getByRole('button', { name: /^Let seams cross it/ }).click();
    await until(() => asked().clear.length).toBe(0);
  });

  it('gives a piece its machine and takes it back', async () => {
    const choice = page.getByRole('combobox', { name: 'Machine for piece A' });
    const [first, second] = await choice
      .locator('option')
      .evaluateAll((all) => all.map((each) => (each as HTMLOptionElement).value));
    expect(first).toBe('');
    await choice.selectOption(second!);
    await until(() => asked().machines.length).toBe(1);
    expect(asked().machines[0]!.at.atMm).toEqual([0, -149, 220]);
    await choice.selectOption('');
    await until(() => asked().machines.length).toBe(0);
  });

  it('makes an area of places pointed at, with the keys alone', async () => {
    // as the figure stands at first: the middle of the view is on the model
    await page.reload();
    await page.locator('.figure-canvas').waitFor();
    await page.getByRole('button', { name: /point at places round it/ }).focus();
    await page.keyboard.press('Enter');
    await until(() => page.locator('.picking-asks').textContent()).toContain('first place of its outline');
    // the pieces come together first
    await page.waitForTimeout(3000);
    await page.locator('.plate-room').focus();
    const step = async (key: string, times: number): Promise<void> => {
      for (let i = 0; i < times; i++) await page.keyboard.press(`Shift+${key}`);
      await page.keyboard.press('Enter');
    };
    await step('ArrowLeft', 2);
    await step('ArrowDown', 4);
    await step('ArrowRight', 4);
    await until(() => page.locator('.figure-labels .label:not([hidden]) b').allTextContents()).toEqual(['1', '2', '3']);
    await picture('area-pointed-round');
    await page.getByRole('button', { name: 'That is all of them', exact: true }).click();
    await until(() => asked().clear.length).toBe(1);
    const [area] = asked().clear;
    expect(area!.outline).toHaveLength(3);
    for (const { normal } of area!.outline) expect(Math.hypot(...normal)).toBeCloseTo(1, 4);
    expect(complaints).toEqual([]);
  });
});
