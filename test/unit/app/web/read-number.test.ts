import { describe, expect, it } from 'vitest';
import { showSetting } from '../../../../src/app/web/format.ts';
import { type Range, rangeWords, readNumber, stepped } from '../../../../src/app/web/read-number.ts';

const BED: Range = { unit: 'mm', digits: 0, min: 50, max: 2000, measure: 'mm' };
const BED_IN: Range = { ...BED, measure: 'inch' };
const LAYER: Range = { unit: 'mm', digits: 2, min: 0.05, max: 0.6, measure: 'mm' };

describe('what is typed into a number', () => {
  it.each<[string, Range, number]>([
    ['220', BED, 220],
    [' 220 mm ', BED, 220],
    ['22 cm', BED, 220],
    ['8.5in', BED, 215.9],
    ['8 1/2"', BED, 215.9],
    ['1\u202f000', BED, 1000],
    ['0,2', LAYER, 0.2],
    ['.2', LAYER, 0.2],
    ['8.5', BED_IN, 215.9],
    ['220 mm', BED_IN, 220],
  ])('%s', (typed, range, value) => {
    expect(readNumber(typed, range)).toEqual({ ok: true, value });
  });

  it.each(['', 'thick', '1..2', '0x20', '1e3', '--4', '1/0'])('refuses "%s"', (typed) => {
    expect(readNumber(typed, BED).ok).toBe(false);
  });

  it('says the range when a number lies outside', () => {
    const reading = readNumber('20', BED);
    expect(reading.ok ? '' : reading.say.replace(/[\u202f\u00a0]/g, ' ')).toBe('Allowed: 50 to 2 000 mm.');
  });

  it.each([BED, BED_IN, LAYER, { ...LAYER, measure: 'inch' as const }])(
    'takes its own limits as shown: %o',
    (range) => {
      for (const limit of [range.min, range.max]) {
        const typed = showSetting(limit, range.unit, range.digits, range.measure).number;
        const reading = readNumber(typed, range);
        expect(reading.ok && Math.abs(reading.value - limit)).toBeLessThanOrEqual(0.2);
        expect(reading.ok && reading.value >= range.min && reading.value <= range.max).toBe(true);
      }
      expect(rangeWords(range)).toContain(' to ');
    },
  );
});

describe('steps of the arrow keys', () => {
  it.each([
    [220, 1, 225],
    [222, 1, 225],
    [50, -1, 50],
    [1998, 10, 2000],
  ])('from %f by %i', (from, steps, to) => {
    expect(stepped(from, steps, { ...BED, step: 5 })).toBe(to);
  });

  it('steps in round inches', () => {
    expect(stepped(9 * 25.4, 1, { ...BED_IN, step: 5 })).toBeCloseTo(9.25 * 25.4, 3);
  });
});
