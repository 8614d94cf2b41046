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

const FILE = '../shared/reference/shell-200k.stl';
const { value, tolerance } = JSON.parse(
  readFileSync(new URL('./print-shell-layers.json', import.meta.url), 'utf8'),
) as {
  value: { layers: number; sumLengthMm: number; sumAreaMm2: number; sumLoops: number };
  tolerance: { relative: number };
};
const there = existsSync(FILE);

describe.skipIf(!there)(
  `the shared shell${there ? '' : ' (skipped: the shared reference folder is not there)'}`,
  () => {
    const shell = there ? standing() : meshOf(new Float64Array(0), new Uint32Array(0));
    const sum = (values: ArrayLike<number>): number => Array.from(values).reduce((a, b) => a + b, 0);

    it('has the same layers', () => {
      const layers = layerMeasures(shell, { firstMm: 0.2, stepMm: 0.2, mergeMm: 0.02 });
      expect(layers.numLayers).toBe(value.layers);
      expect(Math.abs(sum(layers.lengthMm) / value.sumLengthMm - 1)).toBeLessThan(tolerance.relative);
      expect(Math.abs(sum(layers.areaMm2) / value.sumAreaMm2 - 1)).toBeLessThan(tolerance.relative);
      expect(sum(layers.numOuter) + sum(layers.numHoles)).toBe(value.sumLoops);
    });

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
  },
);

function standing(): Mesh {
  const read = readStl(new Uint8Array(readFileSync(FILE)));
  if (!read.ok) throw new Error(read.why);
  const { mesh } = weldSoup(read.value.corners);
  const low = bounds(mesh).minMm;
  return meshOf(
    mesh.positions.map((v, i) => v - low[i % 3]!),
    mesh.triangles,
  );
}
