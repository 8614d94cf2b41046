// Laws of time and material that hold for any body, machine and settings.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { volume } from '../../src/mesh/measure.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { PLA } from '../../src/workshop/facts/materials.ts';
import { layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printMaterial, printTime } from '../../src/workshop/printing/print-time.ts';
import type { Machine } from '../../src/workshop/process/machine.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { blob } from '../support/print-blob.ts';
import { box, tube, turnedAboutZ } from '../support/printing-shapes.ts';

const SEED = 20240611;
const RUNS = { seed: SEED, numRuns: 40 };

const wave = fc.tuple(fc.double({ min: 0, max: 0.1, noNaN: true }), fc.double({ min: 0, max: 6, noNaN: true }));
const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const body: fc.Arbitrary<Mesh> = fc.oneof(
  fc.tuple(mm(5, 60), mm(5, 60), mm(3, 40)).map(([w, d, h]) => box(w, d, h)),
  fc.tuple(mm(10, 40), mm(0.6, 6), mm(3, 30)).map(([r, wall, h]) => tube(r, r - wall, h, 96)),
  fc.tuple(mm(6, 25), fc.array(wave, { minLength: 1, maxLength: 3 })).map(([r, waves]) => blob(r, waves)),
);
const settings: fc.Arbitrary<PrintSettings> = fc
  .record({
    layerMm: mm(0.1, 0.4),
    lineMm: mm(0.35, 0.8),
    contourPasses: fc.integer({ min: 1, max: 5 }),
    infillPercent: mm(0, 100),
    closingLayers: fc.integer({ min: 0, max: 6 }),
    overhangLimitDeg: mm(20, 80),
  })
  .map((some) => PrintSettings.parse({ ...some, firstLayerMm: some.layerMm }));
const machine: fc.Arbitrary<Machine> = fc
  .record({
    wallSpeedMmS: mm(10, 300),
    outerWallSpeedMmS: mm(10, 300),
    accelerationMmS2: mm(200, 10000),
    junctionDeviationMm: mm(0.005, 0.1),
    maxFlowMm3S: mm(3, 40),
    shortestLayerS: mm(0, 20),
  })
  .map((some) => ({ ...ordinaryMachine([300, 300, 300]), ...some }));

const measure = (mesh: Mesh, print: PrintSettings, on: Machine) => {
  const lines = layOutLayers(mesh, print, QUIET_WORK);
  return { lines, time: printTime(lines, on, print, QUIET_WORK), material: printMaterial(lines, print, PLA) };
};

describe(`printing, seed ${SEED}`, () => {
  it('parts sum to the whole, exactly; heights to the whole less start-up', () => {
    fc.assert(
      fc.property(body, settings, machine, (mesh, print, on) => {
        const { time } = measure(mesh, print, on);
        const { contour, infill, closing, support, travel, waiting, startUp } = time.seconds;
        expect(contour + infill + closing + support + travel + waiting + startUp).toBe(time.printS);
        const byHeight = time.secondsByHeight.reduce((a, b) => a + b, 0);
        expect(Math.abs(byHeight - (time.printS - startUp))).toBeLessThan(1e-9 * time.printS);
        expect(Math.min(...time.secondsByHeight)).toBeGreaterThanOrEqual(0);
      }),
      RUNS,
    );
  });

  it('no print weighs more than its solid layers, and with full infill just as much', () => {
    fc.assert(
      fc.property(body, settings, machine, (mesh, print, on) => {
        const { lines, material } = measure(mesh, print, on);
        const { areaMm2, bottomMm } = lines.measures;
        const solid = areaMm2.reduce((sum, area, k) => sum + area * (bottomMm[k + 1]! - bottomMm[k]!), 0);
        expect(material.pieceMm3).toBeLessThanOrEqual(solid * (1 + 1e-12));
        const full = measure(mesh, { ...print, infillPercent: 100 }, on).material.pieceMm3;
        expect(Math.abs(full / solid - 1)).toBeLessThan(1e-12);
        const rounding = Math.max(...areaMm2) * print.layerMm;
        expect(Math.abs(solid - volume(mesh))).toBeLessThan(rounding);
      }),
      RUNS,
    );
  });

  it('faster speeds, higher acceleration, rounder corners never raise the time', () => {
    const quicker = fc.constantFrom(
      'wallSpeedMmS',
      'outerWallSpeedMmS',
      'infillSpeedMmS',
      'closingSpeedMmS',
      'supportSpeedMmS',
      'firstLayerSpeedMmS',
      'travelSpeedMmS',
      'accelerationMmS2',
      'travelAccelerationMmS2',
      'junctionDeviationMm',
      'maxFlowMm3S',
    );
    fc.assert(
      fc.property(body, settings, machine, fc.tuple(quicker, mm(1, 3)), (mesh, print, on, [key, by]) => {
        const lines = layOutLayers(mesh, print, QUIET_WORK);
        const before = printTime(lines, on, print, QUIET_WORK).printS;
        const after = printTime(lines, { ...on, [key]: on[key] * by }, print, QUIET_WORK).printS;
        expect(after).toBeLessThanOrEqual(before * (1 + 1e-12));
      }),
      RUNS,
    );
  });

  it('half the layer with twice the closing layers never takes less time', () => {
    fc.assert(
      fc.property(body, settings, machine, (mesh, print, on) => {
        const half = {
          ...print,
          layerMm: print.layerMm / 2,
          firstLayerMm: print.layerMm / 2,
          closingLayers: print.closingLayers * 2,
        };
        expect(measure(mesh, half, on).time.printS).toBeGreaterThanOrEqual(measure(mesh, print, on).time.printS);
      }),
      RUNS,
    );
  });

  it('turning about the vertical changes nothing', () => {
    fc.assert(
      fc.property(body, settings, machine, mm(0, 360), (mesh, print, on, deg) => {
        const a = measure(mesh, print, on);
        const b = measure(turnedAboutZ(mesh, deg), print, on);
        const near = (x: number, y: number): void => expect(Math.abs(x - y)).toBeLessThan(1e-9 * (1 + Math.abs(x)));
        near(a.material.pieceMm3, b.material.pieceMm3);
        near(a.material.supportMm3, b.material.supportMm3);
        near(a.time.printS, b.time.printS);
      }),
      RUNS,
    );
  });
});
