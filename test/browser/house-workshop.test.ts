// The workshop in real Chromium: numbers, names and prices set in place, taken back, and met by another window's change.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { expectGoodLooks, type HouseBrowser, openHouse } from '../support/house-browser.ts';
import { someHouse } from '../support/house-data.ts';

describe('the workshop', () => {
  let at: HouseBrowser;
  const field = (name: string | RegExp) => at.page.getByRole('spinbutton', { name });
  const set = async (name: string | RegExp, value: string): Promise<void> => {
    await field(name).fill(value);
    await field(name).press('Enter');
  };
  /** The page has read the workshop again after its last change, and would no longer hear of what is changed behind its back. */
  const settled = async (): Promise<void> => {
    await expect.poll(() => at.server.asked.at(-1)).toBe('GET /api/workshop');
    await at.page.evaluate(() => new Promise((shown) => requestAnimationFrame(shown)));
  };
  const machine = (index: number) => at.server.house.workshop.machines[index]!;
  const SPEED = /^Outermost contour pass, 220/;

  beforeAll(async () => {
    at = await openHouse(someHouse(), [/Failed to load resource.*(409|422)/]);
    await at.open('/workshop');
    await field(SPEED).waitFor();
  });
  afterAll(() => at?.close());

  it('looks good in both tones and on a phone', () => expectGoodLooks(at, 'workshop'));

  it('keeps a number as soon as it is set, says it, and takes it back', async () => {
    await set(SPEED, '55');
    await expect.poll(() => machine(1).outerWallSpeedMmS).toBe(55);
    expect(machine(1).revision).toBe(2);
    await at.page.getByText('40 mm/s to 55 mm/s').waitFor();
    await at.page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => machine(1).outerWallSpeedMmS).toBe(40);
    await expect.poll(() => field(SPEED).inputValue()).toBe('40');
    expect(await at.page.getByRole('button', { name: 'Undo' }).isDisabled()).toBe(true);
  });

  it('says the range and the source, and sends nothing that is out of it', async () => {
    const note = at.page.locator('.note', { hasText: 'Clearance of fitting faces, 180' });
    await field(/^Clearance of fitting faces, 180/).focus();
    expect(await note.textContent()).toContain('Design guidelines of a print service');
    expect(await note.textContent()).toContain('0.00 to 2.00');
    const before = at.server.asked.length;
    await set(/^Clearance of fitting faces, 180/, '5');
    expect(await field(/^Clearance of fitting faces, 180/).getAttribute('aria-invalid')).toBe('true');
    await field(/^Clearance of fitting faces, 180/).press('Escape');
    expect(at.server.asked.length).toBe(before);
  });

  it('puts its change on top of what another window changed elsewhere in the record', async () => {
    const { house } = at.server;
    await settled();
    house.workshop = {
      ...house.workshop,
      machines: house.workshop.machines.map((each, index) =>
        index === 1 ? { ...each, nozzleMm: 0.6, revision: each.revision + 1 } : each,
      ),
    };
    await set(SPEED, '45');
    await expect.poll(() => machine(1).outerWallSpeedMmS).toBe(45);
    expect(machine(1).nozzleMm).toBe(0.6);
    expect(await field('Nozzle, 220 x 220 x 250 mm machine').inputValue()).toBe('0.6');
  });

  it('says so when another window changed the same number, and shows the newer value', async () => {
    const { house } = at.server;
    await settled();
    house.workshop = {
      ...house.workshop,
      machines: house.workshop.machines.map((each, index) =>
        index === 1 ? { ...each, outerWallSpeedMmS: 70, revision: each.revision + 1 } : each,
      ),
    };
    await set(SPEED, '50');
    await at.page.getByText(/was set to 70\smm\/s in another window meanwhile; 50\smm\/s was not taken/).waitFor();
    expect(await field(SPEED).inputValue()).toBe('70');
    expect(machine(1).outerWallSpeedMmS).toBe(70);
    await at.picture('workshop-outdated');
    await set(SPEED, '50');
    await expect.poll(() => machine(1).outerWallSpeedMmS).toBe(50);
  });

  it('hears of what another window changes', async () => {
    const { server } = at;
    server.house.workshop = {
      ...server.house.workshop,
      maker: { ...server.house.workshop.maker, awakeToH: 20, revision: 9 },
    };
    server.tell('/api/events', 'workshop', null);
    await expect.poll(() => field('Hour until which prints are changed over').inputValue()).toBe('20');
  });

  it('takes words for a name and refuses none at all', async () => {
    const name = at.page.getByRole('textbox', { name: 'Name of this machine' }).first();
    await name.fill('The little one');
    await name.press('Enter');
    await expect.poll(() => machine(0).name).toBe('The little one');
    await name.fill('  ');
    expect(await name.getAttribute('aria-invalid')).toBe('true');
    await name.press('Escape');
    expect(await name.inputValue()).toBe('The little one');
  });

  it('notes prices in one currency, and names all of them otherwise in one step', async () => {
    const { page, server } = at;
    const price = page.getByRole('textbox', { name: 'Price of The little one, EUR' });
    await price.fill('249,50');
    await price.press('Enter');
    await expect.poll(() => machine(0).price).toEqual({ minor: 24950, currency: 'EUR' });
    const rate = page.getByRole('textbox', { name: 'An hour of hands-on work, EUR' });
    await rate.fill('32');
    await rate.press('Enter');
    await expect.poll(() => server.house.workshop.maker.hourlyRate).toEqual({ minor: 3200, currency: 'EUR' });
    await page.getByLabel('Currency').selectOption('GBP');
    await expect.poll(() => server.house.workshop.maker.hourlyRate).toEqual({ minor: 3200, currency: 'GBP' });
    expect(machine(0).price).toEqual({ minor: 24950, currency: 'GBP' });
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => server.house.workshop.maker.hourlyRate).toEqual({ minor: 3200, currency: 'EUR' });
    await rate.fill('');
    await rate.press('Enter');
    await expect.poll(() => server.house.workshop.maker.hourlyRate).toBe(null);
  });

  it('adds a machine like another and names it first, removes it, and takes the removal back', async () => {
    const { page, server } = at;
    await page.getByLabel('The new machine begins as').selectOption({ label: 'The little one' });
    await page.getByRole('button', { name: 'add this machine' }).click();
    await expect.poll(() => server.house.workshop.machines.length).toBe(4);
    expect(machine(3).name).toBe('The little one 2');
    await expect
      .poll(() => page.evaluate(() => (document.activeElement as HTMLInputElement | null)?.value))
      .toBe('The little one 2');
    expect(await page.locator('.spaces-one').count()).toBe(4);
    await page.getByRole('button', { name: 'Remove this machine: The little one 2' }).click();
    await at.picture('workshop-remove');
    await page.getByRole('button', { name: 'Remove it' }).click();
    await expect.poll(() => server.house.workshop.machines.length).toBe(3);
    await page.keyboard.press('Control+z');
    await expect.poll(() => server.house.workshop.machines.map(({ name }) => name)).toContain('The little one 2');
  });

  it('reads in inches where it is a length, and stays in its own units where it is not', async () => {
    await at.page.getByLabel('Measure').selectOption('inch');
    expect(await field(/^Width of the space, The little one$/).inputValue()).toBe('7.09');
    expect(await at.page.locator('.workshop-looks thead').first().textContent()).toContain('in/s');
    expect(await field('Density in g/cm³, PLA').inputValue()).toBe('1.24');
    await at.page.getByLabel('Measure').selectOption('mm');
  });

  it('left nothing in the console', () => expect(at.complaints).toEqual([]));
});
