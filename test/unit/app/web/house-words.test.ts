// Days in words, money as it is typed, and what is found on the shelf.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BuildCard } from '../../../../src/app/api/api.ts';
import { dayWords, fullDayWords } from '../../../../src/app/web/house-days.ts';
import { unbroken } from '../../../../src/app/web/house-words.ts';
import { cardsFound, withCard } from '../../../../src/app/web/use-shelf.ts';
import { inCurrency, readMoney, sayMoney, showMoney } from '../../../../src/app/web/workshop-money.ts';
import { CURRENCIES } from '../../../../src/workshop/process/currencies.ts';

describe('days', () => {
  const now = new Date(2026, 10, 28, 0, 20);
  it.each([
    [new Date(2026, 10, 28, 0, 1), 'today'],
    [new Date(2026, 10, 27, 23, 59), 'yesterday'],
    [new Date(2026, 10, 26, 23, 59), '26 November'],
    [new Date(2025, 10, 28), '28 November 2025'],
  ])('%s', (date, words) => expect(dayWords(date.toISOString(), now)).toBe(words));

  it('says so when there is no such day', () => {
    expect(dayWords('never', now)).toBe('an unknown day');
    expect(fullDayWords('never', now)).toBe('an unknown day');
  });
});

it.each([
  ['Bed width: 220 mm to 180 mm', 'Bed width: 220\u00a0mm to 180\u00a0mm'],
  ['Four pieces, 11 h 20 min, 164 g.', 'Four pieces, 11\u00a0h 20\u00a0min, 164\u00a0g.'],
  ['Version 2 of yesterday, 3 machines', 'Version 2 of yesterday, 3 machines'],
])('%s keeps its units', (words, set) => expect(unbroken(words)).toBe(set));

describe('money', () => {
  it.each([
    ['249', 24900],
    ['249.5', 24950],
    ['249,50', 24950],
    ['1 249.05', 124905],
    ['12 EUR', 1200],
    ['0', 0],
  ])('reads %s', (typed, minor) =>
    expect(readMoney(typed, 'EUR')).toEqual({ ok: true, value: { minor, currency: 'EUR' } }),
  );

  it('takes nothing typed as not noted', () => expect(readMoney('  ', 'EUR')).toEqual({ ok: true, value: null }));

  it.each([
    ['-3', /An amount in EUR is wanted/],
    ['three', /An amount in EUR is wanted/],
    ['1.234', /EUR has 2 digits after the point; this has 3/],
    ['99999999999999', /At most 10 000 000 000.00 EUR/],
  ])('says what is wrong with %s', (typed, why) => {
    const reading = readMoney(typed, 'EUR');
    expect(reading.ok ? '' : reading.say.replace(/\u202f/g, ' ')).toMatch(why);
  });

  it('has no digits after the point in yen', () => {
    expect(readMoney('1200', 'JPY')).toEqual({ ok: true, value: { minor: 1200, currency: 'JPY' } });
    expect(readMoney('12.5', 'JPY')).toMatchObject({ ok: false });
    expect(sayMoney({ minor: 1200, currency: 'JPY' }).replace(/\u202f/g, ' ')).toBe('1 200 JPY');
  });

  it('reads back what it shows, in every currency', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e12 }), fc.constantFrom(...CURRENCIES), (minor, { code }) => {
        const money = { minor, currency: code };
        expect(readMoney(showMoney(money), code)).toEqual({ ok: true, value: money });
      }),
      { seed: 4 },
    );
  });

  it('keeps the number when the currency is named otherwise', () =>
    expect(inCurrency({ minor: 1250, currency: 'EUR' }, 'USD')).toEqual({ minor: 1250, currency: 'USD' }));
});

describe('the shelf', () => {
  const card = (id: string, changedAt: string, rest: Partial<BuildCard> = {}): BuildCard => ({
    id,
    title: id,
    file: `${id}.stl`,
    changedAt,
    begunAt: changedAt,
    state: 'computed',
    says: 'Four pieces, 58 h, 832 g.',
    next: null,
    thumbnail: null,
    ...rest,
  });
  const cards = [
    card('Wächter', '2026-11-03', { next: { chapter: 'model', asks: 'Which way is up?', path: 'model.level.up' } }),
    card('Keeper', '2026-11-02', { state: 'refused' }),
    card('Mask', '2026-11-01', { file: 'keeper-mask.obj' }),
  ];
  it.each([
    ['', ['Wächter', 'Keeper', 'Mask']],
    ['wachter', ['Wächter']],
    ['KEEPER', ['Keeper', 'Mask']],
    ['keeper refused', ['Keeper']],
    ['way up', ['Wächter']],
    ['nothing such', []],
  ])('finds "%s"', (typed, found) => expect(cardsFound(cards, typed).map(({ id }) => id)).toEqual(found));

  it('puts a changed book in its place, and a new one in', () => {
    const order = (list: readonly BuildCard[]): readonly string[] => list.map(({ id }) => id);
    expect(order(withCard(cards, card('Mask', '2026-11-05')))).toEqual(['Mask', 'Wächter', 'Keeper']);
    expect(order(withCard(cards, card('New', '2026-11-02T12')))).toEqual(['Wächter', 'New', 'Keeper', 'Mask']);
  });
});
