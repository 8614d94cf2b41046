// Support under a sphere on its pole against the integral.
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { supportColumns } from '../../src/geometry/support-columns.ts';
import { columnsByLayer, layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printMaterial } from '../../src/workshop/printing/print-time.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { sphere } from '../support/printing-shapes.ts';

const { value, tolerance } = JSON.parse(
  readFileSync(new URL('./print-sphere-support.json', import.meta.url), 'utf8'),
) as { value: number; tolerance: { relative: number } };

it.each([10, 60])('support under a sphere of %d mm is 0.216882 R^3', (radius) => {
  const { volumeMm3 } = supportColumns(sphere(radius, 360, 360), { limitDeg: 45 });
  expect(Math.abs(volumeMm3 / radius ** 3 / value - 1)).toBeLessThan(tolerance.relative);
});

it('layer by layer, at 0.05 mm, the same volume stands and its share is plastic', () => {
  const radius = 20;
  const print = PrintSettings.parse({ layerMm: 0.05, firstLayerMm: 0.05, overhangLimitDeg: 45 });
  const lines = layOutLayers(sphere(radius, 360, 360), print, QUIET_WORK);
  const byLayer = columnsByLayer(lines.columns, lines.measures.bottomMm);
  const volume = byLayer.reduce((sum, mm3) => sum + mm3, 0);
  expect(Math.abs(volume / radius ** 3 / value - 1)).toBeLessThan(tolerance.relative);
  // the highest column ends where the sphere stands at 45 degrees: R (1 - cos 45)
  const highest = byLayer.findLastIndex((mm3) => mm3 > 0) * 0.05;
  expect(Math.abs(highest - radius * (1 - Math.SQRT1_2))).toBeLessThan(0.2);
  const { supportMm3 } = printMaterial(lines, print, { densityGCm3: 1, filamentMm: 1.75 });
  const plastic = (value * radius ** 3 * print.supportPercent) / 100;
  expect(Math.abs(supportMm3 / plastic - 1)).toBeLessThan(tolerance.relative);
});
