// Tapes round heads and hats, against formulas and tables from outside.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { innerOutline } from '../../src/geometry/inner-outline.ts';
import type { PlaneSection } from '../../src/geometry/plane-section.ts';
import { HEAD_CIRCUMFERENCE_MM, ringMm } from '../../src/workshop/facts/heads.ts';

interface Fact<T> {
  readonly value: T;
  readonly tolerance: number;
}
function fact<T>(name: string): Fact<T> {
  return JSON.parse(readFileSync(`test/reference/${name}.json`, 'utf8')) as Fact<T>;
}

function circle(radius: number, way: 1 | -1, num = 4000): Float64Array {
  const out = new Float64Array(num * 2);
  for (let i = 0; i < num; i++) {
    out[i * 2] = radius * Math.cos((way * 2 * Math.PI * i) / num);
    out[i * 2 + 1] = radius * Math.sin((way * 2 * Math.PI * i) / num);
  }
  return out;
}

function ringSection(innerRadius: number): PlaneSection {
  const loops = [circle(innerRadius + 3, 1), circle(innerRadius, -1)];
  return { areaMm2: 0, lengthMm: 0, numSegments: 0, loops, outlines: [] };
}

describe('heads and hats', () => {
  it('the ring rule', () => {
    const { value, tolerance } = fact<{ clearanceMm: number; addsMm: number; headMm: number; innerMm: number }>(
      'head-ring',
    );
    expect(Math.abs(ringMm(value.clearanceMm) - value.addsMm)).toBeLessThan(tolerance);
    expect(Math.abs(value.headMm + ringMm(value.clearanceMm) - value.innerMm)).toBeLessThan(tolerance);
  });

  it('a tape round the inside of a ring as wide as a hat reads the hat table', () => {
    const { value, tolerance } = fact<{ sizeInch: number; circumferenceCm: number }[]>('head-hat-sizes');
    for (const hat of value) {
      const outline = innerOutline(ringSection((hat.sizeInch * 25.4) / 2));
      expect(outline?.ring).toBe('closed');
      expect(Math.abs(outline!.lengthMm / 10 - hat.circumferenceCm)).toBeLessThan(tolerance);
    }
  });

  it('a head 8 mm smaller all round than a shell leaves the ring of tape between', () => {
    const wide = innerOutline(ringSection(100))!.lengthMm;
    const narrow = innerOutline(ringSection(92))!.lengthMm;
    expect(wide - narrow).toBeCloseTo(ringMm(8), 3);
  });

  it('every head of the survey can be asked for', () => {
    const { value } = fact<{ leastMm: number; mostMm: number }>('head-circumferences');
    expect(HEAD_CIRCUMFERENCE_MM.least).toBeLessThanOrEqual(value.leastMm);
    expect(HEAD_CIRCUMFERENCE_MM.most).toBeGreaterThanOrEqual(value.mostMm);
  });
});
