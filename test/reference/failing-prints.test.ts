// What failing prints cost, against Daly's published figures and sums by formulas computed outside this program.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  bestLength,
  bestPrints,
  type FailureRate,
  failingShare,
  hoursInPrints,
  hoursToSuccess,
} from '../../src/workshop/process/failure-risk.ts';

const known = JSON.parse(readFileSync('test/reference/failing-prints.json', 'utf8'));
const rate = (hoursAFailure: number, more: Partial<FailureRate> = {}): FailureRate => ({
  hoursAFailure,
  firstLayerShare: 0,
  firstLayerH: 0,
  ...more,
});

describe('failing prints', () => {
  it('are of the best length as published, and by the formula', () => {
    for (const of of [known.publishedMin, known.formulaMin])
      for (const [overhead, between, minutes] of of.value)
        expect(Math.abs(bestLength(overhead, between) - minutes)).toBeLessThanOrEqual(of.tolerance.absolute);
    expect(Math.abs(bestLength(0.5, 100) - known.root.value)).toBeLessThan(known.root.tolerance.absolute);
    expect(bestLength(40, 15)).toBe(15);
  });

  it('take so long until one has come out', () => {
    const { value, tolerance } = known.toSuccess;
    for (const [between, hours, expected] of value)
      expect(Math.abs(hoursToSuccess(hours, rate(between)) - expected)).toBeLessThanOrEqual(tolerance.absolute);
  });

  it('are best four for forty hours, also with first layers that fail', () => {
    const { value, tolerance } = known.inPrints;
    for (const [prints, hours] of value)
      expect(Math.abs(hoursInPrints(40, prints, 0.5, rate(100)) - hours)).toBeLessThanOrEqual(tolerance.absolute);
    expect(bestPrints(40, 0.5, rate(100))).toBe(4);
    expect(bestPrints(40, 0.5, rate(100, { firstLayerShare: 0.03, firstLayerH: 0.25 }))).toBe(4);
  });

  it('agree with so many tries by chance', () => {
    // tries until one succeeds: failures after exponential times, first layers at 0.25 h; a fixed stream of numbers
    let state = 12345;
    const random = (): number => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return (state + 0.5) / 2 ** 32;
    };
    const by = rate(50, { firstLayerShare: 0.05, firstLayerH: 0.25 });
    const hours = 20;
    let [sum, squares, failed, tries] = [0, 0, 0, 0];
    const times = 40_000;
    for (let i = 0; i < times; i++) {
      let spent = 0;
      for (;;) {
        tries++;
        const isFirst = random() < by.firstLayerShare;
        const failsAt = isFirst ? by.firstLayerH : -by.hoursAFailure * Math.log(random());
        if (failsAt >= hours) break;
        failed++;
        spent += failsAt;
      }
      spent += hours;
      sum += spent;
      squares += spent * spent;
    }
    const mean = sum / times;
    const error = Math.sqrt((squares / times - mean * mean) / times);
    expect(Math.abs(mean - hoursToSuccess(hours, by))).toBeLessThan(4 * error);
    expect(failed / tries).toBeCloseTo(failingShare(hours, by), 2);
  });
});
