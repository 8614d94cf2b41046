// The book page with a made-up server behind it: questions that lead to their controls, places of findings, machines and offers, the
// title, steps back and forth, what else can be done with a book.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { machineLabel } from '../../src/workshop/book/machine-words.ts';
import { CHROMIUM_FLAGS } from '../support/chromium.ts';
import { fullPage } from '../support/full-page.ts';
import { type PageServer, startPage } from '../support/page-server.ts';

const PICTURES = 'test/out/pictures';
/** A picture in software on a busy machine may take seconds. */
const until = <T>(read: () => T) => expect.poll(read, { timeout: 25_000, interval: 150 });

describe('the book page', () => {
  const complaints: string[] = [];
  let browser: Browser;
  let page: Page;
  let server: PageServer;

  const rail = (chapter: string) =>
    page.getByRole('navigation', { name: 'Contents' }).getByRole('link', { name: chapter });
  const picture = (name: string) => page.screenshot({ path: join(PICTURES, `book-${name}.png`) });
  const marks = () =>
    page.locator('.figure-labels .label[data-tone]:not([data-tone="piece"]):not([hidden]) b').allTextContents();
  const raised = () => page.locator('.figure-labels .label[data-raised]:not([hidden]) b').allTextContents();
  const focusedPath = () =>
    page.evaluate(() => document.activeElement?.closest<HTMLElement>('[data-path]')?.dataset.path);
  const reading = (chapter: string) =>
    page.locator(`#${chapter}`).evaluate((element) => element.scrollIntoView({ block: 'start', behavior: 'instant' }));

  beforeAll(async () => {
    mkdirSync(PICTURES, { recursive: true });
    server = await startPage(fullPage());
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: [...CHROMIUM_FLAGS] });
    page = await browser.newPage({ viewport: { width: 1440, height: 900 }, reducedMotion: 'reduce' });
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(server.address);
    await page.locator('.figure-canvas').waitFor();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  it('says in the contents how each chapter stands, and what it asks', async () => {
    await until(() => rail('Model').textContent()).toContain('Which unit is the file in?');
    expect(await rail('Pieces').textContent()).toContain('computed');
    server.show({ stale: ['printing'], computing: { chapter: 'printing', fraction: 0.41, doing: 'timing layers' } });
    await until(() => rail('Printing').textContent()).toContain('computing, 41%');
    await page.getByText('Printing: timing layers, 41%').waitFor();
    server.show({ stale: [], computing: null });
    await until(() => rail('Printing').textContent()).toContain('computed');
  });

  it('leads from a question to the control that answers it, again and again', async () => {
    for (const _ of [1, 2]) {
      await rail('Model').click();
      await until(focusedPath).toBe('model.unit');
      await page.getByLabel('What the figure shows').focus();
    }
    await page.locator('.decisions').getByRole('link', { name: 'Which unit is the file in?' }).click();
    await until(focusedPath).toBe('model.unit');
  });

  it('comes to the control when the page is opened by a link to it', async () => {
    await page.goto(`${server.address}#pieces/machines.0`);
    await page.reload();
    await until(focusedPath).toBe('machines.0');
    await page.locator('.figure-canvas').waitFor();
  });

  it('marks the places of the chapter that is read, and lifts one out while its note is read', async () => {
    await reading('wearer');
    const note = page.locator('.finding', { hasText: 'Above the brow' });
    const letter = (await note.locator('.mark-letter').textContent())!;
    await until(marks).toContain(letter);
    expect(await page.locator('.figure-labels .label[data-tone="care"]:not([hidden])').count()).toBeGreaterThan(0);
    await note.hover();
    await until(raised).toEqual([letter]);
    await picture('mark-raised');
    await page.mouse.move(700, 20);
    await until(raised).toEqual([]);
  });

  it('turns the figure by keys so that the place faces the reader', async () => {
    await reading('wearer');
    const note = page.locator('.finding', { hasText: 'The inner surface' });
    const letter = (await note.locator('.mark-letter').textContent())!;
    const isBehind = () =>
      page
        .locator('.figure-labels .label:not([hidden])', { hasText: new RegExp(`^${letter}$`) })
        .getAttribute('data-behind');
    await until(isBehind).toBe('');
    await note.getByRole('button', { name: /^Show it/ }).press('Enter');
    await until(isBehind).toBeNull();
    await picture('place-shown');
  });

  it('marks a place of a laid piece on that piece', async () => {
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await reading('printing');
    await until(marks).toEqual(await page.locator('#printing .mark-letter').allTextContents());
  });

  it('takes another machine of the workshop, one more, and takes one away', async () => {
    await reading('pieces');
    const { machines } = fullPage().workshop!;
    const large = machines.at(-1)!;
    await page.getByLabel('Machine', { exact: true }).selectOption({ label: machineLabel(large) });
    await until(() => server.state().build.machines.map(({ id }) => id)).toEqual([large.id]);
    await page.getByLabel('Another machine').selectOption({ label: machineLabel(machines[0]!) });
    await until(() => server.state().build.machines.map(({ id }) => id)).toEqual([large.id, machines[0]!.id]);
    await page.getByLabel('Another machine').selectOption({ label: machineLabel(machines[0]!) });
    await until(() => server.state().build.machines.length).toBe(3);
    await page.getByLabel('Machine', { exact: true }).selectOption({ label: 'none: take this one away' });
    await until(() => server.state().build.machines.map(({ id }) => id)).toEqual([
      machines[0]!.id,
      `${machines[0]!.id}-2`,
    ]);
  });

  it('goes many steps back in one call, and forth again', async () => {
    const now = server.state().build.machines.length;
    const sent = server.calls.length;
    await page.keyboard.press('Control+z');
    for (let i = 0; i < 3; i++)
      await page.getByRole('button', { name: 'Undo' }).evaluate((button: HTMLElement) => button.click());
    await until(() => server.state().build.machines[0]!.id).toBe(fullPage().state.build.machines[0]!.id);
    expect(server.calls.length - sent).toBeLessThanOrEqual(4);
    for (let i = 0; i < 4; i++) await page.keyboard.press('Control+Shift+z');
    await until(() => server.state().build.machines.length).toBe(now);
    await page.getByRole('button', { name: 'Redo' }).and(page.locator(':disabled')).waitFor();
  });

  it('takes over a newer record of the workshop in one step', async () => {
    await reading('printing');
    await page.getByRole('button', { name: 'Take it over' }).click();
    await until(() => server.changes.at(-1)?.path).toBe('machines.0');
    expect(server.state().build.machines[0]).toMatchObject({ outerWallSpeedMmS: 60, revision: 2 });
    await page.getByRole('button', { name: 'Undo' }).click();
    await until(() => server.state().build.machines.some(({ revision }) => revision === 2)).toBe(false);
  });

  it('has its title changed in place, kept in one line, given back by Escape', async () => {
    const title = page.getByRole('textbox', { name: 'Title of the book' });
    await title.fill('Lamp room helm');
    await title.press('Enter');
    await until(() => server.state().build.name).toBe('Lamp room helm');
    await title.fill('Something else');
    await title.press('Escape');
    await until(() => title.textContent()).toBe('Lamp room helm');
    expect(server.state().build.name).toBe('Lamp room helm');
    await title.fill('   ');
    await title.press('Enter');
    await until(() => title.textContent()).toBe('Lamp room helm');
  });

  it('shows an edit at once and sets back what follows from it', async () => {
    await reading('printing');
    const layer = page.getByRole('spinbutton', { name: 'Layer height' });
    await layer.fill('0.28');
    await layer.press('Enter');
    expect(await layer.inputValue()).toBe('0.28');
    await until(() => server.state().build.print.layerMm).toBe(0.28);
  });

  it('copies the book and opens both side by side', async () => {
    await page.route('**/beside/**', (route) =>
      route.fulfill({ contentType: 'text/html', body: '<title>beside</title>' }),
    );
    await page.getByRole('button', { name: 'copy this book' }).click();
    await page.waitForURL(/\/beside\/one\/two$/);
    expect(server.calls).toContain('POST copy {"name":"Lamp room helm, another choice"}');
    await page.goto(server.address);
    await page.locator('.figure-canvas').waitFor();
  });

  it('deletes it only when asked twice, and stands on what changes nothing', async () => {
    await page.getByRole('button', { name: 'Delete it' }).click();
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('keep it');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Delete it' }).waitFor();
    expect(server.calls.filter((call) => call.startsWith('DELETE'))).toEqual([]);
    await page.getByRole('button', { name: 'Delete it' }).click();
    await picture('delete-asked');
    await page.getByRole('button', { name: /^Delete “/ }).click();
    await page.waitForURL(server.home);
    expect(server.calls.filter((call) => call.startsWith('DELETE'))).toHaveLength(1);
  });

  it('left nothing in the console', () => {
    expect(complaints).toEqual([]);
  });
});
