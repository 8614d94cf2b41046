import { describe, expect, it } from 'vitest';
import { hoursWithRisk, roughPrintS } from '../../../../src/workshop/process/rough-print.ts';

describe('a rough print', () => {
  // M (e^(T/M) - 1) with M = 100: tables of expected time to one success under evenly falling failures (Young 1974, Daly 2006)
  it.each([
    [10, 10.517],
    [20, 22.14],
    [40, 49.182],
    [80, 122.554],
  ])('of %s hours costs %s with its risk', (hours, expected) => {
    expect(hoursWithRisk(hours * 3600)).toBeCloseTo(expected, 3);
  });

  it('takes longer with more surface, thicker walls and more support', () => {
    const piece = { areaMm2: 1e5, thickMm: 1.5, supportG: 10 };
    const once = roughPrintS(piece);
    expect(roughPrintS({ ...piece, areaMm2: 2e5 })).toBeGreaterThan(1.5 * once);
    expect(roughPrintS({ ...piece, thickMm: 20 })).toBeGreaterThan(once);
    expect(roughPrintS({ ...piece, supportG: 200 })).toBeGreaterThan(once + 20_000);
  });
});
