import { describe, expect, it } from 'vitest';
import { showDuration, showNumber, showQuantity, showSetting } from '../../../../src/app/web/format.ts';
import type { Unit } from '../../../../src/workshop/book/book-text.ts';

/** Narrow and no-break spaces as plain ones, so that expectations can be read. */
const plain = (text: string): string => text.replace(/[\u202f\u00a0]/g, ' ');

describe('quantities in a sentence', () => {
  it.each<[number, Unit, number, string, string]>([
    [310.06, 'mm', 1, '310.1 mm', '12.207 in'],
    [0.2, 'mm', 2, '0.20 mm', '0.0079 in'],
    [1482, 'mm', 0, '1 482 mm', '58.35 in'],
    [541_200, 'mm2', 0, '5 412 cm²', '838.9 in²'],
    [812_345, 'mm3', 1, '812.3 cm³', '49.57 in³'],
    [999, 'g', 0, '999 g', '999 g'],
    [1240, 'g', 0, '1.24 kg', '1.24 kg'],
    [461, 'm', 0, '461 m', '1 512 ft'],
    [45, 'deg', 0, '45°', '45°'],
    [15, 'percent', 0, '15%', '15%'],
    [204_816, 'count', 0, '204 816', '204 816'],
    [1, 'factor', 3, '1.000', '1.000'],
    [60, 'mm/s', 0, '60 mm/s', '2.36 in/s'],
    [148_800, 's', 0, '41 h 20 min', '41 h 20 min'],
  ])('%f %s with %i digits', (value, unit, digits, inMm, inInches) => {
    for (const [measure, wanted] of [
      ['mm', inMm],
      ['inch', inInches],
    ] as const) {
      const shown = showQuantity(value, unit, { digits, measure });
      expect(plain(shown.number + shown.unit)).toBe(wanted);
    }
  });

  it('keeps a column of a table in grams', () => {
    const shown = showQuantity(1240, 'g', { place: 'table' });
    expect(plain(shown.number + shown.unit)).toBe('1 240 g');
  });

  it('shows what the maker sets in one unit, so that it can be typed back', () => {
    const shown = showSetting(90, 's', 0, 'mm');
    expect(plain(shown.number + shown.unit)).toBe('90 s');
  });
});

describe('durations', () => {
  it.each([
    [0, '0 s'],
    [59.4, '59 s'],
    [59.6, '1 min'],
    [150, '2 min 30 s'],
    [599.6, '10 min'],
    [3570, '1 h'],
    [3600, '1 h'],
    [360_000, '100 h'],
    [4_000_000, '1 111 h 7 min'],
  ])('%f s', (seconds, wanted) => {
    expect(plain(showDuration(seconds))).toBe(wanted);
  });
});

describe('numbers', () => {
  it.each([
    [-0.04, 1, '0.0'],
    [-3.14, 1, '−3.1'],
    [1_234_567.5, 1, '1 234 567.5'],
    [Number.NaN, 1, '–'],
  ])('%f with %i digits', (value, digits, wanted) => {
    expect(plain(showNumber(value, digits))).toBe(wanted);
  });
});
