// What a workshop begins with is valid, and every number of it says where it comes from, on the page and in docs/facts.md.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  MACHINE_SOURCES,
  MAKER_SOURCES,
  MATERIAL_SOURCES,
  ordinaryWorkshop,
} from '../../../../src/workshop/facts/workshop.ts';
import { Machine } from '../../../../src/workshop/process/machine.ts';
import { Maker } from '../../../../src/workshop/process/maker.ts';
import { Material } from '../../../../src/workshop/process/material.ts';
import { MACHINE_RANGES, MATERIAL_RANGES } from '../../../../src/workshop/process/workshop-ranges.ts';

const { machines, materials, maker } = ordinaryWorkshop();
const facts = readFileSync('docs/facts.md', 'utf8');

describe('the workshop at the beginning', () => {
  it('keeps to its own schemas', () => {
    expect(machines.map((machine) => Machine.parse(machine))).toEqual(machines);
    expect(materials.map((material) => Material.parse(material))).toEqual(materials);
    expect(Maker.parse(maker)).toEqual(maker);
  });

  it('holds machines of three sizes and four materials, each under its own id', () => {
    expect(machines.map(({ bedMm }) => bedMm.join(' x '))).toEqual([
      '180 x 180 x 180',
      '220 x 220 x 250',
      '300 x 300 x 400',
    ]);
    expect(new Set([...machines, ...materials].map(({ id }) => id)).size).toBe(7);
  });

  it('loads machines only with materials that are there', () => {
    const known = new Set(materials.map(({ id }) => id));
    for (const { loaded } of machines) expect(loaded === null || known.has(loaded)).toBe(true);
  });

  it('notes no price that nobody named', () => {
    expect([...machines.map(({ price }) => price), ...materials.map(({ packPrice }) => packPrice)]).toEqual(
      Array.from({ length: 7 }, () => null),
    );
    expect([maker.hourlyRate, maker.energyPerKwh]).toEqual([null, null]);
  });

  it('says a source for every number the schemas know', () => {
    const numbersOf = (record: object): string[] =>
      Object.entries(record).flatMap(([key, value]) => (typeof value === 'number' && key !== 'revision' ? [key] : []));
    expect(Object.keys(MACHINE_RANGES).sort()).toEqual(['bedSideMm', ...numbersOf(machines[0]!)].sort());
    expect(Object.keys(MATERIAL_RANGES).sort()).toEqual(numbersOf(materials[0]!).sort());
    for (const source of [MACHINE_SOURCES, MATERIAL_SOURCES, MAKER_SOURCES].flatMap((each) => Object.values(each)))
      expect(source).toMatch(/^[A-Z].*\.$/);
  });

  it.each([
    ...machines.map(({ bedMm }) => bedMm.join(' x ')),
    ...materials.map(({ name, densityGCm3 }) => `| ${name} | ${densityGCm3}`),
    ...machines.map(({ powerW }) => `| ${powerW} W`),
    `| ${machines[0]!.clearanceMm} mm`,
    `| from ${maker.awakeFromH} to ${maker.awakeToH} |`,
  ])('has %s in docs/facts.md', (words) => expect(facts).toContain(words));
});
