// Densities within what was seen, and metres of a kilogram.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ABS, ASA, PETG, PLA } from '../../src/workshop/facts/materials.ts';

const read = <T>(name: string): T => JSON.parse(readFileSync(new URL(`./${name}.json`, import.meta.url), 'utf8'));
const lengths = read<{
  value: { metresPerKg: Record<string, number>; filamentMm2: number };
  tolerance: { relative: number };
}>('print-material');
const densities = read<{ value: Record<string, [number, number]> }>('print-densities');

describe.each([PLA, PETG, ABS, ASA])('$name', (material) => {
  it('has a density that was seen', () => {
    const [least, most] = densities.value[material.id]!;
    expect(material.densityGCm3).toBeGreaterThanOrEqual(least);
    expect(material.densityGCm3).toBeLessThanOrEqual(most);
  });
  it('has as many metres a kilogram', () => {
    const area = (Math.PI / 4) * material.filamentMm ** 2;
    expect(Math.abs(area / lengths.value.filamentMm2 - 1)).toBeLessThan(lengths.tolerance.relative);
    const metres = 1000 / (material.densityGCm3 * area);
    expect(Math.abs(metres / lengths.value.metresPerKg[material.id]! - 1)).toBeLessThan(lengths.tolerance.relative);
  });
});
