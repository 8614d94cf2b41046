// What is laid of bodies that can be reckoned by hand: a box, a tube, thin walls. The arithmetic stands in the JSON.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { type LayerLines, layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printMaterial } from '../../src/workshop/printing/print-time.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { box, rectangle, ring, tube } from '../support/printing-shapes.ts';

interface ByHand {
  readonly body: string;
  readonly print: Partial<PrintSettings>;
  readonly layer: {
    readonly outerMm: number;
    readonly innerMm: number;
    readonly restMm2: number;
    readonly passes: number;
  };
  readonly contourMm3: number;
  readonly closingMm3: number;
  readonly infillMm3: number;
  readonly relative: number;
}
const { value } = JSON.parse(readFileSync(new URL('./print-volumes.json', import.meta.url), 'utf8')) as {
  value: ByHand[];
};

const BODIES: Readonly<Record<string, Mesh>> = {
  'box 20 x 30 x 10': box(20, 30, 10),
  'tube of 50 and 47 mm radius, 12 high': tube(50, 47, 12, 720),
  'wall of 2 mm round 96 x 96, 10 high': ring(rectangle(100, 100), rectangle(96, 96), 10),
  'wall of 0.8 mm round 98.4 x 98.4, 10 high': ring(rectangle(100, 100), rectangle(98.4, 98.4), 10),
};

describe.each(value)('$body, layers of $print.layerMm mm', (known) => {
  const print = PrintSettings.parse({ lineMm: 0.45, ...known.print });
  const lines = layOutLayers(BODIES[known.body]!, print, QUIET_WORK);
  const near = (got: number, expected: number): void =>
    expect(Math.abs(got - expected)).toBeLessThanOrEqual(known.relative * Math.max(expected, 1e-3));

  it('has these passes in the middle, and leaves so much', () => {
    const k = lines.measures.numLayers >> 1;
    near(lines.outerMm[k]!, known.layer.outerMm);
    near(lines.innerMm[k]!, known.layer.innerMm);
    near(lines.restMm2[k]!, known.layer.restMm2);
    expect(lines.numPasses[k]).toBe(known.layer.passes);
  });

  it('holds so much in contours, closing layers and infill, and nothing else', () => {
    near(volumeOf(lines, print, 'outerMm') + volumeOf(lines, print, 'innerMm'), known.contourMm3);
    near(volumeOf(lines, print, 'closingLineMm'), known.closingMm3);
    near(volumeOf(lines, print, 'infillLineMm'), known.infillMm3);
    const { pieceMm3, supportMm3 } = printMaterial(lines, print, { densityGCm3: 1, filamentMm: 1.75 });
    near(pieceMm3, known.contourMm3 + known.closingMm3 + known.infillMm3);
    expect(supportMm3).toBe(0);
  });
});

function volumeOf(
  lines: LayerLines,
  { lineMm }: PrintSettings,
  of: 'outerMm' | 'innerMm' | 'closingLineMm' | 'infillLineMm',
): number {
  const { bottomMm } = lines.measures;
  return lines[of].reduce((sum, mm, k) => sum + mm * lineMm * (bottomMm[k + 1]! - bottomMm[k]!), 0);
}
