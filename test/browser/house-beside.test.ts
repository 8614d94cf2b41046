// Two books side by side in real Chromium: what differs, one scale, changing a choice in place, and a version that cannot be changed.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Beside } from '../../src/app/api/beside.ts';
import { axeFindings } from '../support/axe.ts';
import { someBeside } from '../support/beside-data.ts';
import { expectGoodLooks, type HouseBrowser, openHouse } from '../support/house-browser.ts';
import { someHouse } from '../support/house-data.ts';

describe('two books side by side', () => {
  let at: HouseBrowser;
  let given: Beside;

  beforeAll(async () => {
    given = await someBeside();
    at = await openHouse({ ...someHouse(), beside: given }, [/Failed to load resource.*(404|422)/]);
    await at.open('/beside/helm/helm-28');
    await at.page.getByText('Four choices differ').waitFor();
  });
  afterAll(() => at?.close());

  it('tells the differences first, in words and in two tables', async () => {
    const { page } = at;
    expect(await page.locator('.standfirst').textContent()).toMatch(
      /prints .* shorter and takes (one piece|\w+ pieces) fewer/,
    );
    expect(await page.locator('.beside-table caption').allTextContents()).toEqual([
      'Choices that differ',
      'What follows',
    ]);
    expect(await page.locator('.beside-table').first().locator('input').count()).toBe(8);
  });

  it('sets every chapter in two columns at one height, and marks what differs', async () => {
    const { page } = at;
    const rows = await page.locator('#printing .beside-columns:not(.beside-notes)').evaluate((columns) =>
      [...columns.querySelectorAll<HTMLElement>('.beside-left .beside-cell')].map((cell, index) => {
        const other = columns.querySelectorAll<HTMLElement>('.beside-right .beside-cell')[index]!;
        return {
          apart: Math.abs(cell.getBoundingClientRect().top - other.getBoundingClientRect().top),
          differs: [cell, other].map((each) => each.classList.contains('beside-differs')),
          words: [cell.textContent, other.textContent],
        };
      }),
    );
    expect(rows.length).toBeGreaterThan(5);
    for (const { apart, differs, words } of rows) {
      expect(apart).toBeLessThan(1);
      expect(differs[0]).toBe(differs[1]);
      if (!differs[0]) expect(words[0]).toBe(words[1]);
    }
    expect(rows.some(({ differs }) => differs[0])).toBe(true);
    expect(rows.some(({ differs }) => !differs[0])).toBe(true);
  });

  it('draws both at one scale', async () => {
    const scales = await at.page.locator('#printing [data-drawn] svg[data-scale]').evaluateAll((drawings) =>
      drawings.map((drawing) => {
        const svg = drawing as unknown as SVGSVGElement;
        return svg.getBoundingClientRect().width / (svg.viewBox.baseVal.width / Number(svg.dataset.scale));
      }),
    );
    const pieces = [given.left, given.right].flatMap(({ drawings }) =>
      Object.keys(drawings).filter((name) => /^(piece|scars)-/.test(name)),
    );
    expect(pieces.length).toBeGreaterThan(2);
    expect(scales.length).toBe(pieces.length);
    for (const scale of scales) expect(scale / scales[0]!).toBeCloseTo(1, 1);
  });

  it('looks good in both tones and on a phone', () => expectGoodLooks(at, 'beside'));

  it('stands one after the other on a phone, each under its name', async () => {
    const { page } = at;
    await page.setViewportSize({ width: 360, height: 780 });
    const [left, right] = await Promise.all(
      ['.beside-left', '.beside-right'].map((side) => page.locator(`#pieces ${side}`).first().boundingBox()),
    );
    expect(right!.y).toBeGreaterThanOrEqual(left!.y + left!.height);
    expect(await page.locator('#pieces .beside-right .beside-name').first().textContent()).toBe(given.right.name);
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  it('changes a choice in the table or in its sentence, in the right book, and says what is being computed', async () => {
    const { page, server } = at;
    const layer = page.locator('#printing .beside-right').getByRole('spinbutton', { name: 'Layer height' });
    await layer.fill('0.24');
    await layer.press('Enter');
    await expect.poll(() => server.asked).toContain('PATCH /api/builds/helm-28');
    await expect.poll(() => server.asked.at(-1)).toBe('GET /api/beside');
    await page.getByText('Printing: timing, 40%').waitFor();
    await page.getByText(`What differs is told when ${given.right.name} is computed.`).waitFor();
    // The differences from before stay, set back.
    expect(await page.locator('.beside-tables.beside-old').count()).toBe(1);
    expect(await axeFindings(page)).toEqual([]);
    await expect.poll(() => layer.inputValue()).toBe('0.24');
    await at.picture('beside-computing');
    server.house.beside = given;
    server.tell('/api/beside/events', 'beside', given);
    const inTable = page.locator('.beside-table').first().getByRole('spinbutton', { name: 'Bed width' }).first();
    await inTable.fill('200');
    await inTable.press('Enter');
    await expect.poll(() => server.asked).toContain('PATCH /api/builds/helm');
  });

  it('gives back what is refused, and says why', async () => {
    const { page, server } = at;
    server.house.beside = given;
    server.tell('/api/beside/events', 'beside', given);
    server.refuseNext('PATCH /api/builds/helm', 422, 'The disk is full.');
    const infill = page.locator('#printing .beside-left').getByRole('spinbutton', { name: 'Infill', exact: true });
    const before = await infill.inputValue();
    await infill.fill('20');
    await infill.press('Enter');
    await page.locator('#printing .beside-left .note-trouble', { hasText: 'The disk is full.' }).waitFor();
    await expect.poll(() => infill.inputValue()).toBe(before);
  });

  it('changes nothing in a version that does not stand', async () => {
    const { page, server } = at;
    server.house.beside = { ...given, right: { ...given.right, name: 'version 4', live: false } };
    await at.open('/beside/helm/helm%404');
    await page.getByText('It does not stand and cannot be changed').waitFor();
    expect(await page.locator('.beside-right input, .beside-right select').count()).toBe(0);
    expect(await page.locator('.beside-left input').count()).toBeGreaterThan(5);
    expect(await page.locator('.beside-table').first().locator('input').count()).toBe(4);
  });

  it('says why there is nothing to compare', async () => {
    at.server.house.beside = null;
    await at.open('/beside/helm/none');
    await at.page.getByText('No such book.').waitFor();
  });

  it('left nothing in the console', () => expect(at.complaints).toEqual([]));
});
