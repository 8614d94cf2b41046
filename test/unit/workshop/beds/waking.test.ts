// Hours with hands, by hand: a usual day, a night worker's, and one that never sleeps.
import { describe, expect, it } from 'vitest';
import { handsFrom, isAwake, wakingSpanS } from '../../../../src/workshop/beds/waking.ts';
import { clockOf, hourOf } from '../../../../src/workshop/process/hour-words.ts';

const H = 3600;
const DAY = { wakingFromH: 7, wakingToH: 22 };
const NIGHT = { wakingFromH: 14, wakingToH: 2 };
const ALWAYS = { wakingFromH: 6, wakingToH: 6 };

describe('hands', () => {
  it.each([
    ['in the day at once', DAY, 12, 0.25, 12],
    ['in the night in the morning', DAY, 3, 0.25, 7],
    ['late in the evening, if they are done by bedtime', DAY, 21.75, 0.25, 21.75],
    ['else the next morning', DAY, 21.8, 0.25, 31],
    ['on the third day as on the first', DAY, 48 + 22.5, 0.25, 48 + 31],
    ['past midnight of a night worker', NIGHT, 25, 0.5, 25],
    ['in the morning of a night worker, at noon and two', NIGHT, 8, 0.5, 14],
    ['before the first waking of all', NIGHT, 1, 0.5, 1],
    ['at any hour where nobody sleeps', ALWAYS, 3, 5, 3],
  ])('%s', (_what, waking, fromH, handsH, atH) => {
    expect(handsFrom(fromH * H, handsH * H, waking)).toBeCloseTo(atH * H, 6);
  });

  it('are there for so long on end', () => {
    expect([DAY, NIGHT, ALWAYS].map((waking) => wakingSpanS(waking) / H)).toEqual([15, 12, 24]);
    expect([6.9, 7, 22, 22.1].map((hour) => isAwake(hour * H, DAY))).toEqual([false, true, true, false]);
  });
});

describe('hours in words', () => {
  it('count days from the first and round to the minute', () => {
    expect([0, 8 * H, 24 * H - 29, 24 * H - 31, 50.2 * H].map(hourOf)).toEqual([
      'day 1, 0:00',
      'day 1, 8:00',
      'day 2, 0:00',
      'day 1, 23:59',
      'day 3, 2:12',
    ]);
    expect(clockOf(7.5 * H)).toBe('7:30');
  });
});
