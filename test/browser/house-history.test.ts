// The history in real Chromium: days, what stands, what was left, bringing back and taking that back.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { expectGoodLooks, type HouseBrowser, openHouse } from '../support/house-browser.ts';
import { someHouse } from '../support/house-data.ts';

describe('the history', () => {
  let at: HouseBrowser;
  const standing = (): Promise<string[]> => at.page.locator('.history-stands .history-number').allTextContents();

  beforeAll(async () => {
    at = await openHouse(someHouse(), [/Failed to load resource.*(404|422)/]);
    await at.open('/builds/helm/history');
    await at.page.getByText('Layer height: 0.2 mm to 0.28 mm').waitFor();
  });
  afterAll(() => at?.close());

  it('tells every change, which version stands, and what was left', async () => {
    expect(await at.page.locator('.history-line').count()).toBe(8);
    expect(await standing()).toEqual(['8']);
    expect(await at.page.locator('.history-left .history-number').allTextContents()).toEqual(['5', '4']);
    expect(await at.page.getByText('Left when undone').count()).toBe(1);
    const days = await at.page.locator('.history-day').count();
    expect(days).toBeGreaterThanOrEqual(3);
  });

  it('looks good in both tones and on a phone', () => expectGoodLooks(at, 'history'));

  it('leads to a version beside the book as it stands', async () => {
    const link = at.page.getByRole('link', { name: 'Read beside the book: version 4' });
    expect(await link.getAttribute('href')).toBe('/beside/helm/helm%404');
  });

  it('brings a version back, and takes that back', async () => {
    await at.page.getByRole('button', { name: /^Bring back version 4/ }).click();
    await expect.poll(standing).toEqual(['9']);
    expect(await at.page.locator('.history-line').count()).toBe(9);
    await at.page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(standing).toEqual(['8']);
    expect(await at.page.locator('.history-undone .history-number').allTextContents()).toEqual(['9']);
  });

  it('says why a version cannot be brought back', async () => {
    at.server.refuseNext('POST /api/builds/helm/restore', 422, 'This version cannot be read.');
    await at.page.getByRole('button', { name: /^Bring back version 2/ }).click();
    await at.page.getByText('This version cannot be read.').waitFor();
    expect(await standing()).toEqual(['8']);
  });

  it('says so when the book is gone, and when there is none', async () => {
    at.server.tell('/api/builds/helm/events', 'removed', null);
    await at.page.getByText('This book was taken off the shelf.').waitFor();
    await at.open('/builds/none/history');
    await at.page.getByText('There is no such build.').waitFor();
  });

  it('left nothing in the console', () => expect(at.complaints).toEqual([]));
});
