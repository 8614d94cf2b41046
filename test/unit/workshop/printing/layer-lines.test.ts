// Contour passes, closing and infill of bodies that can be reckoned by hand.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { columnsByLayer, layOutLayers } from '../../../../src/workshop/printing/layer-lines.ts';
import { printMaterial } from '../../../../src/workshop/printing/print-time.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';
import { box, joinMeshes, rectangle, ring, sphere, tube } from '../../../support/printing-shapes.ts';

const print = PrintSettings.parse({});
const PLAIN = { id: 'plain', name: 'plain', densityGCm3: 1, filamentMm: 1.75 };

describe('a box 20 x 30 x 10', () => {
  const lines = layOutLayers(box(20, 30, 10), print, QUIET_WORK);
  it('has 50 layers of 600 mm2 and 100 mm', () => {
    expect(lines.measures.numLayers).toBe(50);
    for (let k = 0; k < 50; k++) {
      expect(lines.measures.areaMm2[k]).toBeCloseTo(600, 9);
      expect(lines.measures.lengthMm[k]).toBeCloseTo(100, 9);
      expect(lines.measures.insetLoss[k]).toBeCloseTo(8, 9);
    }
  });
  it('has three passes: 2 (19.55 + 29.55) outermost, then 2 (18.65 + 28.65) and 2 (17.75 + 27.75)', () => {
    expect(lines.outerMm[20]).toBeCloseTo(98.2, 9);
    expect(lines.innerMm[20]).toBeCloseTo(94.6 + 91, 9);
  });
  it('leaves 17.3 x 27.3 inside', () => {
    expect(lines.restMm2[20]).toBeCloseTo(17.3 * 27.3, 9);
  });
  it('closes the lowest and the highest four layers wholly, and no other', () => {
    for (let k = 0; k < 50; k++) expect(lines.closingMm2[k]).toBeCloseTo(k < 4 || k >= 46 ? 17.3 * 27.3 : 0, 9);
  });
  it('weighs passes + 8 closed layers + a tenth of 42 others', () => {
    const inside = 17.3 * 27.3;
    const volume = (600 - inside) * 10 + inside * 0.2 * (8 + 42 * 0.1);
    expect(printMaterial(lines, print, PLAIN).pieceMm3).toBeCloseTo(volume, 6);
    expect(printMaterial(lines, print, PLAIN).filamentG).toBeCloseTo(volume / 1000, 9);
    expect(printMaterial(lines, print, PLAIN).filamentM).toBeCloseTo(volume / 2405.281875, 6);
  });
  it('needs no support', () => {
    expect(lines.columns.num).toBe(0);
  });
});

describe('a tube 50 / 47, 12 high: a wall of 3 mm', () => {
  const lines = layOutLayers(tube(50, 47, 12, 720), print, QUIET_WORK);
  it('has passes of 2 pi 97 mm each, holes growing as outsides shrink', () => {
    expect(lines.outerMm[30]! / (2 * Math.PI * 97)).toBeCloseTo(1, 4);
    expect(lines.innerMm[30]! / (4 * Math.PI * 97)).toBeCloseTo(1, 4);
  });
  it('leaves a gap of 0.3 mm', () => {
    expect(lines.restMm2[30]! / (2 * Math.PI * 48.5)).toBeCloseTo(0.3, 3);
  });
});

describe('a wall of 2 mm', () => {
  const lines = layOutLayers(ring(rectangle(100, 100), rectangle(96, 96), 10), print, QUIET_WORK);
  it('fills solid: no infill, and just the plastic of the wall', () => {
    expect(lines.restMm2[20]).toBe(0);
    expect(lines.infillLineMm[20]).toBe(0);
    expect(printMaterial(lines, print, PLAIN).pieceMm3).toBeCloseTo((100 * 100 - 96 * 96) * 10, 6);
  });
});

describe('a plate 40 x 40 x 4 with a block 10 x 10 on it', () => {
  const lines = layOutLayers(joinMeshes(box(40, 40, 4), box(10, 10, 6, 4)), print, QUIET_WORK);
  it('closes the plate under the air and bounds by what is left inside', () => {
    expect(lines.closingMm2[18]).toBeCloseTo(37.3 * 37.3, 6);
    expect(lines.closingMm2[10]).toBe(0);
  });
});

describe('a first layer of its own height', () => {
  const lines = layOutLayers(box(10, 10, 10), { ...print, firstLayerMm: 0.3 }, QUIET_WORK);
  it('is followed by layers of the ordinary height', () => {
    // middles 0.15, then 0.4 + 0.2 k < 10 for k = 0 .. 47: 49 layers, up to 9.9
    expect(lines.measures.numLayers).toBe(49);
    expect(lines.measures.bottomMm[1]).toBe(0.3);
    expect(lines.measures.bottomMm[49]).toBeCloseTo(9.9, 9);
  });
});

describe('a slope of 45 degrees', () => {
  // Strip open within 4 layers: 0.8 mm wide; three passes cover 1.35 mm: nothing to close on the side of a sphere there.
  const lines = layOutLayers(sphere(40, 90, 180), print, QUIET_WORK);
  it('needs no closing where passes already cover the steps', () => {
    expect(lines.closingMm2[Math.round((40 - 40 * Math.SQRT1_2 * 0.9) / 0.2)]).toBe(0);
  });
  it('is closed near the pole', () => {
    expect(lines.closingMm2[1]).toBeCloseTo(lines.restMm2[1]!, 6);
  });
});

describe('support', () => {
  const held = joinMeshes(box(60, 60, 2), box(20, 30, 5, 12));
  const lines = layOutLayers(held, print, QUIET_WORK);
  it('stands between plate and block: 20 x 30 x 10', () => {
    expect(lines.columns.volumeMm3).toBeCloseTo(6000, 6);
    const byLayer = columnsByLayer(lines.columns, lines.measures.bottomMm);
    expect(byLayer[30]).toBeCloseTo(600 * 0.2, 9);
    expect(byLayer[5]).toBeCloseTo(0, 9);
    expect(byLayer[70]).toBeCloseTo(0, 9);
    expect(byLayer.reduce((a, b) => a + b)).toBeCloseTo(6000, 6);
  });
  it('is plastic by its share', () => {
    expect(printMaterial(lines, print, PLAIN).supportMm3).toBeCloseTo(720, 6);
  });
});
