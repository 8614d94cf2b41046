// Hours against a separate move-by-move simulator, on fifteen prisms a case, nothing fitted: once with ramps without a jerk
// limit, which judges the layout of lines alone, and once with a hidden jerk limit, which no unfitted estimate can know.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printTime } from '../../src/workshop/printing/print-time.ts';
import type { Machine } from '../../src/workshop/process/machine.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import type { HiddenLaw } from '../support/move-clock.ts';
import { type Prism, prismMesh, simulatePrint } from '../support/print-simulator.ts';

const ordinary = ordinaryMachine([300, 300, 300]);
const quick: Machine = {
  ...ordinary,
  wallSpeedMmS: 180,
  outerWallSpeedMmS: 120,
  infillSpeedMmS: 200,
  closingSpeedMmS: 150,
  firstLayerSpeedMmS: 50,
  travelSpeedMmS: 300,
  accelerationMmS2: 5000,
  travelAccelerationMmS2: 7000,
  maxFlowMm3S: 24,
};

interface Case {
  readonly what: string;
  readonly seed: number;
  readonly machine: Machine;
  readonly law: HiddenLaw;
  readonly print: PrintSettings;
}

const CASES: readonly Case[] = [
  {
    what: 'as offered',
    seed: 31,
    machine: ordinary,
    law: { jerkMmS3: 50_000, stepMmS: 9 },
    print: PrintSettings.parse({}),
  },
  {
    what: 'high layers, two passes, a fifth of infill',
    seed: 32,
    machine: ordinary,
    law: { jerkMmS3: 30_000, stepMmS: 7 },
    print: PrintSettings.parse({
      layerMm: 0.3,
      firstLayerMm: 0.3,
      contourPasses: 2,
      infillPercent: 20,
      closingLayers: 3,
    }),
  },
  {
    what: 'a quick machine',
    seed: 33,
    machine: quick,
    law: { jerkMmS3: 400_000, stepMmS: 15 },
    print: PrintSettings.parse({ infillPercent: 15 }),
  },
];

function prisms(seed: number): Prism[] {
  const random = randomStream(seed);
  return Array.from({ length: 15 }, (_, i) => ({
    radiusMm: 15 + 75 * random(),
    waves: [
      [0.12 * random(), 2, 6 * random()],
      [0.05 * random(), 3, 6 * random()],
      [0.01 * random(), 7, 6 * random()],
    ] as const,
    wallMm: i % 3 === 2 ? null : 2 + 4 * random(),
    heightMm: Math.round(10 + 40 * random()),
  }));
}

describe('unfitted hours against a simulator', () => {
  for (const { what, seed, machine, law, print } of CASES) {
    const pairs = prisms(seed).map((prism) => {
      const lines = layOutLayers(prismMesh(prism), print, QUIET_WORK);
      return { prism, ours: printTime(lines, machine, print, QUIET_WORK).printS };
    });
    const under = (judge: HiddenLaw) => {
      const errors = pairs.map(({ prism, ours }) => Math.abs(ours / simulatePrint(prism, print, machine, judge) - 1));
      errors.sort((a, b) => a - b);
      return { median: errors[7]!, most: errors[14]! };
    };
    const percent = (share: number): string => (share * 100).toFixed(1);
    const even = under({ ...law, jerkMmS3: 1e9 });
    it(`${what}, seed ${seed}, even ramps: median ${percent(even.median)} percent, most ${percent(even.most)}`, () => {
      expect(even.median).toBeLessThan(0.04);
      expect(even.most).toBeLessThan(0.08);
    });
    const hidden = under(law);
    it(`${what}, seed ${seed}, hidden jerk: median ${percent(hidden.median)} percent, most ${percent(hidden.most)}`, () => {
      expect(hidden.most).toBeLessThan(0.15);
    });
  }
});
