// Published values of what layers leave, of films of paint, of the dew point and of ladders of papers.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { layerSteps } from '../../src/geometry/layer-steps.ts';
import { sectionByPlane } from '../../src/geometry/plane-section.ts';
import { icoSphere } from '../../src/mesh/builders.ts';
import { meshOf } from '../../src/mesh/mesh.ts';
import { dewPointC } from '../../src/workshop/surface/dew-point.ts';
import { litresFor, spreadingRate, spreadingRateUs, wetFilmUm } from '../../src/workshop/surface/film.ts';
import { badSteps } from '../../src/workshop/surface/grit-ladder.ts';

const fact = <T>(name: string): { value: T; tolerance: Record<string, number> } =>
  JSON.parse(readFileSync(new URL(`./${name}.json`, import.meta.url), 'utf8'));

describe('steps of layers', () => {
  const { value, tolerance } = fact<[number, number, number][]>('surface-layer-steps');
  it.each(value)('on a slope of %d degrees', (slopeDeg, cuspMm, treadMm) => {
    const [c, s] = [Math.cos((slopeDeg * Math.PI) / 180), Math.sin((slopeDeg * Math.PI) / 180)];
    const leaning = meshOf(Float64Array.of(0, 0, 0, 0, 3, 0, -5 * c, 0, 5 * s), Uint32Array.of(0, 1, 2));
    const steps = layerSteps(leaning, 0.2);
    expect(Math.abs(steps.cuspMm[0]! - cuspMm)).toBeLessThan(tolerance.cuspMm!);
    expect(Math.abs(steps.terraceMm[0]! - treadMm)).toBeLessThan(tolerance.treadMm!);
    expect(steps.areaMm2[0]).toBeCloseTo(7.5, 5);
  });

  it('leave 29.29 percent of a half ball flatter than 45 degrees: 1 - sin 45', () => {
    const ball = icoSphere(50, 6);
    const { cuspMm, areaMm2 } = layerSteps(ball, 1);
    let [flat, all] = [0, 0];
    for (let t = 0; t < areaMm2.length; t++) {
      all += areaMm2[t]!;
      if (cuspMm[t]! > Math.SQRT1_2) flat += areaMm2[t]!;
    }
    expect((100 * flat) / all).toBeCloseTo(100 * (1 - Math.SQRT1_2), 0);
    expect(Math.abs((100 * flat) / all - 29.29)).toBeLessThan(0.1);
  });

  it('end on the pole of a ball of 100 mm in a terrace of 6.321 mm radius: sqrt(2 R t - t^2)', () => {
    const ball = icoSphere(100, 7);
    const { areaMm2 } = sectionByPlane(ball, { normal: [0, 0, 1], offsetMm: 99.8 });
    expect(Math.abs(Math.sqrt(areaMm2 / Math.PI) / 6.321 - 1)).toBeLessThan(0.005);
  });
});

describe('films', () => {
  const { value, tolerance } = fact<{
    rates: [number, number, number][];
    rateUs: [number, number, number];
    wetUm: [number, number, number];
    dew: [number, number, number][];
  }>('surface-film');
  it.each(value.rates)('%d percent of solids at %d um', (solidsPercent, dryUm, rate) => {
    expect(Math.abs(spreadingRate({ solidsPercent, dryUm }) - rate)).toBeLessThan(tolerance.rate!);
  });
  it('in square feet a gallon, and wet', () => {
    const [solids, mil, rate] = value.rateUs;
    expect(Math.abs(spreadingRateUs(solids, mil) - rate)).toBeLessThan(tolerance.rate!);
    const [solidsPercent, dryUm, wet] = value.wetUm;
    expect(Math.abs(wetFilmUm({ solidsPercent, dryUm }) - wet)).toBeLessThan(tolerance.wetUm!);
  });
  it('take twice the paint for twice the coats, and three times where a third lands', () => {
    const paint = { solidsPercent: 65, dryUm: 125 };
    expect(litresFor(1e6, 1, paint, 1)).toBeCloseTo(1 / 5.2, 6);
    expect(litresFor(1e6, 2, paint, 1 / 3)).toBeCloseTo(6 / 5.2, 6);
  });
  it.each(value.dew)('%d degrees at %d percent: dew at %d', (airC, humidity, dew) => {
    expect(Math.abs(dewPointC(airC, humidity) - dew)).toBeLessThan(tolerance.dewC!);
  });
});

describe('ladders of papers', () => {
  it('are flagged from P80 to P220 and from P120 to P400, by their grains', () => {
    expect(badSteps([80, 220], 2).map(({ ratio }) => Number(ratio.toFixed(2)))).toEqual([2.96]);
    expect(badSteps([120, 400], 2).map(({ ratio }) => Number(ratio.toFixed(2)))).toEqual([3.57]);
    expect(badSteps([60, 120], 2).map(({ ratio }) => Number(ratio.toFixed(2)))).toEqual([2.15]);
  });
  it('pass from P220 to P400, and as 80, 120, 180, 220, 320, 400', () => {
    expect(badSteps([220, 400], 2)).toEqual([]);
    expect(badSteps([80, 120, 180, 220, 320, 400], 2)).toEqual([]);
  });
});
