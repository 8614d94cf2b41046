// Layers of the shared shell against another library's, and a helm's hours against the trade.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { readStl } from '../../src/documents/stl/read-stl.ts';
import { layerMeasures } from '../../src/geometry/layer-measures.ts';
import { bounds } from '../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';
import { weldSoup } from '../../src/mesh/weld.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { PLA } from '../../src/workshop/facts/materials.ts';
import { layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printMaterial, printTime } from '../../src/workshop/printing/print-time.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';

const FOLDER = '../shared/reference';
interface Layers {
  readonly layers: number;
  readonly sumLengthMm: number;
  readonly sumAreaMm2: number;
  readonly sumAreaTimesHMm3: number;
  readonly sumLoops: number;
  readonly everyHundredth: { readonly layers: number; readonly lengthMm: number; readonly loops: number };
}
const { value, tolerance } = JSON.parse(
  readFileSync(new URL('./print-shell-layers.json', import.meta.url), 'utf8'),
) as { value: Record<'shell-50k.stl' | 'shell-200k.stl', Layers>; tolerance: { relative: number } };
const there = existsSync(FOLDER);
const skipped = there ? '' : ' (skipped: the shared reference folder is not there)';
const expectNear = (measured: number, expected: number): void =>
  expect(Math.abs(measured / expected - 1)).toBeLessThan(tolerance.relative);
const sum = (values: ArrayLike<number>): number => Array.from(values).reduce((a, b) => a + b, 0);

describe.skipIf(!there).each(['shell-50k.stl', 'shell-200k.stl'] as const)(`layers of %s${skipped}`, (file) => {
  const layers = layerMeasures(standing(file), { firstMm: 0.2, stepMm: 0.2, mergeMm: 0.02 });
  const known = value[file];

  it('are as many, as long, as large and of as many contours', () => {
    expect(layers.numLayers).toBe(known.layers);
    expectNear(sum(layers.lengthMm), known.sumLengthMm);
    expectNear(sum(layers.areaMm2), known.sumAreaMm2);
    expect(sum(layers.numOuter) + sum(layers.numHoles)).toBe(known.sumLoops);
  });

  it('hold the same plastic, each over its own height', () => {
    const volume = layers.areaMm2.reduce(
      (mm3, area, k) => mm3 + area * (layers.bottomMm[k + 1]! - layers.bottomMm[k]!),
      0,
    );
    expectNear(volume, known.sumAreaTimesHMm3);
  });

  it('agree one by one with a slicer of another sort', () => {
    const every = Array.from({ length: known.everyHundredth.layers }, (_, i) => i * 100);
    expectNear(sum(every.map((k) => layers.lengthMm[k]!)), known.everyHundredth.lengthMm);
    expect(sum(every.map((k) => layers.numOuter[k]! + layers.numHoles[k]!))).toBe(known.everyHundredth.loops);
    expect(every.at(-1)! + 100).toBeGreaterThan(known.layers - 1);
  });
});

describe.skipIf(!there)(`the larger shell${skipped}`, () => {
  const shell = standing('shell-200k.stl');

  it('prints in tens of hours, up to about a hundred (common practice, no source)', () => {
    for (const infillPercent of [5, 10]) {
      const print = PrintSettings.parse({ layerMm: 0.3, firstLayerMm: 0.3, infillPercent, overhangLimitDeg: 65 });
      const lines = layOutLayers(shell, print, QUIET_WORK);
      const hours = printTime(lines, ordinaryMachine([400, 400, 450]), print, QUIET_WORK).printS / 3600;
      expect(hours).toBeGreaterThan(20);
      expect(hours).toBeLessThan(110);
      const { filamentG } = printMaterial(lines, print, PLA);
      // a 3 mm wall is nearly solid: 702 cm3 x 1.24 g/cm3 at most
      expect(filamentG).toBeLessThan(702 * 1.24);
      expect(filamentG).toBeGreaterThan(0.75 * 702 * 1.24);
    }
  });
});

function standing(file: string): Mesh {
  if (!there) return meshOf(new Float64Array(0), new Uint32Array(0));
  const read = readStl(new Uint8Array(readFileSync(`${FOLDER}/${file}`)));
  if (!read.ok) throw new Error(read.why);
  const { mesh } = weldSoup(read.value.corners);
  const low = bounds(mesh).minMm;
  return meshOf(
    mesh.positions.map((v, i) => v - low[i % 3]!),
    mesh.triangles,
  );
}
