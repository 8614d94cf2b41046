// Risk of prints and of other numbers of prints: by hand for two, and what must hold of any.
import { expect, it } from 'vitest';
import { otherDivisions, printRisk } from '../../../../src/workshop/printing/print-risk.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';
import type { Print } from '../../../../src/workshop/process/printing-record.ts';

const settings = PrintSettings.parse({ hoursAFailure: 50, firstLayerFailPercent: 0 });
const print = (hours: number, startS = 600): Print =>
  ({ printS: hours * 3600, seconds: { startUp: startS }, filamentG: 150, supportG: 50 }) as unknown as Print;

it('tells how likely a print is lost, and what it takes until it has come out', () => {
  // 20 h at 50 h a failure: 1 - e^-0.4 = 0.32968; 50 (e^0.4 - 1) = 24.5912 h; lost 4.5912 h of 20 h that lay 200 g
  const risk = printRisk(print(20), 0, settings);
  expect(risk.failingShare).toBeCloseTo(0.32968, 5);
  expect(risk.expectedS / 3600).toBeCloseTo(24.5912, 4);
  expect(risk.lostG).toBeCloseTo(45.912, 3);
});

it('counts a print that stands unsteadily as so much likelier to fail', () => {
  expect(printRisk(print(20), 1, settings)).toEqual(printRisk(print(20), 0, { ...settings, hoursAFailure: 25 }));
});

it('parts the same work into one print fewer, one more and the best number, each with its start and hands', () => {
  // two prints of 10 h, 600 s of start each: 19.667 h of work; in one print 20.0833 h with start and a quarter of an hour of hands
  const { divisions, bestLengthS } = otherDivisions([print(10), print(10)], settings);
  expect(divisions.map(({ prints }) => prints)).toEqual([1, 2, 3]);
  const inPrints = (k: number): number => k * 50 * Math.expm1(((20 - 1 / 3) / k + 1 / 6 + 0.25) / 50);
  divisions.forEach(({ prints, expectedS }) => {
    expect(expectedS / 3600).toBeCloseTo(inPrints(prints), 9);
  });
  // the best of any number is among them
  expect(Math.min(...divisions.map(({ expectedS }) => expectedS / 3600))).toBeCloseTo(
    Math.min(...[1, 2, 3, 4, 5, 6, 7, 8].map(inPrints)),
    9,
  );
  // sqrt(2 x 5/12 x 50) = 6.455 h, less the overhead and with the higher terms 6.18 h
  expect(bestLengthS / 3600).toBeCloseTo(6.18, 2);
});

it('stays finite, and finds the best number, where prints are much longer than the hours between failures', () => {
  const long = { ...settings, hoursAFailure: 1 };
  const risk = printRisk(print(5000), 1, long);
  expect(Number.isFinite(risk.expectedS) && Number.isFinite(risk.lostG)).toBe(true);
  expect(risk.failingShare).toBe(1);
  const { divisions } = otherDivisions([print(5000)], long);
  const best = divisions.at(-1)!;
  expect(best.prints).toBeGreaterThan(5000);
  expect(best.expectedS).toBeLessThan(divisions[0]!.expectedS);
});

it('takes the longer the more often prints fail', () => {
  const expected = [1000, 100, 30, 10].map((hoursAFailure) => printRisk(print(15), 0, { ...settings, hoursAFailure }));
  for (let i = 1; i < expected.length; i++) {
    expect(expected[i]!.expectedS).toBeGreaterThan(expected[i - 1]!.expectedS);
    expect(expected[i]!.failingShare).toBeGreaterThan(expected[i - 1]!.failingShare);
  }
  expect(expected[0]!.expectedS).toBeGreaterThan(15 * 3600);
});
