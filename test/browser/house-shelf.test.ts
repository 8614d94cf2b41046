// The shelf in real Chromium: every state of a book, its next decision, finding, deleting, dropping, and hundreds of books.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { expectGoodLooks, type HouseBrowser, openHouse } from '../support/house-browser.ts';
import { manyCards, someHouse } from '../support/house-data.ts';

describe('the shelf', () => {
  let at: HouseBrowser;
  const titles = (): Promise<string[]> => at.page.locator('.shelf-entry h3').allTextContents();

  beforeAll(async () => {
    at = await openHouse(someHouse(), [/Failed to load resource.*(404|507)/]);
    await at.open('/');
    await at.page.getByRole('heading', { name: 'Half mask' }).waitFor();
  });
  afterAll(() => at?.close());

  it('shows every book with its drawing, how it stands and what is next', async () => {
    const { page, server } = at;
    expect(await titles()).toEqual(server.house.cards.map(({ title }) => title));
    const mask = page.locator('.shelf-entry', { hasText: 'Half mask' });
    expect(await mask.locator('.shelf-thumb svg path').count()).toBeGreaterThan(0);
    const says = (await mask.locator('.shelf-says').textContent()) ?? '';
    expect(says.replace(/\s/g, ' ')).toContain('Two pieces, 11 h 20 min, 164 g.');
    const next = mask.getByRole('link', { name: 'which way is up?' });
    expect(await next.getAttribute('href')).toBe('/builds/mask#model/model.level.up');
    expect(await page.locator('.shelf-refused .shelf-state').textContent()).toBe('refused');
  });

  it('looks good in both tones and on a phone', () => expectGoodLooks(at, 'shelf'));

  it('hears of changes, of new books and of others gone', async () => {
    const { page, server } = at;
    const helm = server.house.cards[1]!;
    const done = { ...helm, state: 'computed' as const, says: 'Three pieces, 40 h, 799 g.' };
    server.tell('/api/events', 'shelf', { ...done, changedAt: new Date().toISOString() });
    await page.getByText('Three pieces, 40 h, 799 g.').waitFor();
    expect((await titles())[0]).toBe(helm.title);
    server.house.cards = server.house.cards.filter(({ id }) => id !== 'lost');
    server.tell('/api/events', 'shelf', null);
    await page.getByRole('heading', { name: 'Storm lantern crest' }).waitFor({ state: 'detached' });
  });

  it('leads to two books side by side', async () => {
    const { page } = at;
    expect(await page.getByRole('link', { name: 'side by side' }).getAttribute('href')).toBe('/beside/helm/helm-28');
    await page.getByLabel('Book on the right').selectOption('mask');
    expect(await page.getByRole('link', { name: 'side by side' }).getAttribute('href')).toBe('/beside/helm/mask');
    await page.getByLabel('Book on the left').selectOption('mask');
    await page.getByText('choose two different ones').waitFor();
  });

  it('asks before it deletes, keeps what is to be kept, and says why when it cannot', async () => {
    const { page, server } = at;
    const entry = page.locator('.shelf-entry', { hasText: 'Half mask' });
    await entry.getByRole('button', { name: 'Delete' }).click();
    expect(await entry.getByRole('button', { name: 'Keep it' }).evaluate((it) => it === document.activeElement)).toBe(
      true,
    );
    await at.picture('shelf-delete');
    await page.keyboard.press('Enter');
    expect(await entry.getByRole('button', { name: 'Delete' }).evaluate((it) => it === document.activeElement)).toBe(
      true,
    );
    expect(server.asked.filter((each) => each.startsWith('DELETE'))).toEqual([]);

    server.refuseNext('DELETE', 507, 'The disk is full.');
    await entry.getByRole('button', { name: 'Delete' }).click();
    await entry.getByRole('button', { name: 'Delete it' }).click();
    await entry.getByText('The disk is full.').waitFor();
    expect(await titles()).toContain('Half mask');

    await entry.getByRole('button', { name: 'Delete: Half mask' }).click();
    await entry.getByRole('button', { name: 'Delete it' }).click();
    await page.getByText('“Half mask” is deleted.').waitFor();
    expect(await titles()).not.toContain('Half mask');
    expect(server.asked.at(-1)).toBe('DELETE /api/builds/mask');
  });

  it('takes a model and a book that was taken out, dropped anywhere', async () => {
    const { page, server } = at;
    const drop = (name: string): Promise<void> =>
      page.evaluate((file) => {
        const data = new DataTransfer();
        data.items.add(new File([new Uint8Array([80, 75, 3, 4])], file));
        window.dispatchEvent(new DragEvent('dragover', { dataTransfer: data, cancelable: true }));
        window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
      }, name);
    for (const [name, asked] of [
      ['keepers-helm.zip', 'POST /api/builds/take-in'],
      ['storm.stl', 'POST /api/builds'],
    ] as const) {
      await at.open('/');
      await page.getByRole('heading', { name: 'Books' }).waitFor();
      await drop(name);
      await page.waitForURL(/\/builds\//);
      expect(server.asked).toContain(asked);
    }
  });

  it('says what to do when it is empty', async () => {
    at.server.house.cards = [];
    await at.open('/');
    await at.page.getByText('There is none yet.').waitFor();
    await at.picture('shelf-empty');
    expect(await at.page.getByRole('link', { name: 'side by side' }).count()).toBe(0);
  });

  it('finds one of hundreds, and sets only what is seen', async () => {
    const { page, server } = at;
    server.house.cards = manyCards(600);
    await at.open('/');
    await page.getByText('among 600 books').waitFor();
    // What is far below is left out of the layout until it is scrolled to.
    const skipped = await page
      .locator('.shelf-entry')
      .last()
      .evaluate((entry) => !entry.querySelector('h3')!.checkVisibility({ contentVisibilityAuto: true }));
    expect(skipped).toBe(true);
    await page.getByRole('searchbox', { name: 'Find' }).fill('half mask 597');
    await page.getByText('1 of 600').waitFor();
    expect(await titles()).toEqual(['Half mask 597']);
    await page.getByRole('searchbox', { name: 'Find' }).fill('nothing of the kind');
    await page.getByText('No book has all of these words.').waitFor();
  });

  it('left nothing in the console', () => expect(at.complaints).toEqual([]));
});
