// Loose splices are one print: their grams are those of each alone, their heating up is paid once.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { box } from '../../../../src/mesh/builders.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { PLA } from '../../../../src/workshop/facts/materials.ts';
import { splicesPrint } from '../../../../src/workshop/printing/splices-print.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import type { JointsRecord } from '../../../../src/workshop/process/joints-record.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';

const meshes = memoryMeshStore();
const mesh = meshes.put(box([-8, 92, 48], [8, 108, 50]));
const key = { kind: 'strip', carrier: 'A', receiver: 'B', along: [0, 1, 0], into: [1, 0, 0], inward: [0, 0, -1] };
const record = (count: number): JointsRecord =>
  ({
    joints: [{ seam: 'A-B', keys: Array.from({ length: count }, () => key) }],
    loose: Array.from({ length: count }, () => ({ seam: 'A-B', mesh })),
  }) as unknown as JointsRecord;
const settings = {
  print: PrintSettings.parse({}),
  machines: [ordinaryMachine([60, 200, 200])],
  material: { densityGCm3: PLA.densityGCm3, filamentMm: PLA.filamentMm },
};
const printed = (count: number) => splicesPrint(record(count), settings, { ...QUIET_WORK, meshes } as ChapterWork);

describe('the print of all splices', () => {
  it('weighs as many times one, and takes less: one start, no waiting for layers to set', () => {
    const [one, six] = [printed(1)!, printed(6)!];
    expect(six.count).toBe(6);
    expect(six.filamentG).toBeCloseTo(6 * one.filamentG, 6);
    // 16 x 16 x 2 mm in outline; its lines leave nothing open but corners
    expect(one.filamentG).toBeGreaterThan(0.5 * 0.512 * PLA.densityGCm3);
    expect(one.filamentG).toBeLessThan(1.1 * 0.512 * PLA.densityGCm3);
    expect(six.printS).toBeGreaterThan(one.printS);
    expect(six.printS).toBeLessThan(6 * one.printS);
    expect(six.supportG).toBe(0);
  });

  it('is none where no seam has any', () => {
    expect(printed(0)).toBeNull();
  });
});
