// A full helm against what the trade says of it, and its contour passes against offsets by another library.
import { readFileSync } from 'node:fs';
import Module, { type CrossSection } from 'manifold-3d';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printTime } from '../../src/workshop/printing/print-time.ts';
import { halvesOnTheirCut, standing, TRADE_PRINT } from '../support/trade-helm.ts';

const { hours, facePiece, offsets } = JSON.parse(
  readFileSync(new URL('./print-trade.json', import.meta.url), 'utf8'),
) as {
  hours: { value: [number, number] };
  facePiece: { value: [number, number] };
  offsets: { tolerance: { points: number } };
};

const helm = demoModel('keepers-helm', { triangles: 20_000 });
const machine = ordinaryMachine([400, 400, 450]);
const hoursOf = (body: Mesh, infillPercent: number): number => {
  const print = { ...TRADE_PRINT, infillPercent };
  return printTime(layOutLayers(body, print, QUIET_WORK), machine, print, QUIET_WORK).printS / 3600;
};

describe.each([5, 10])('the helm with %i percent infill', async (infillPercent) => {
  const { face, back } = await halvesOnTheirCut(helm);
  const [faceH, backH] = [hoursOf(face, infillPercent), hoursOf(back, infillPercent)];

  it('prints in tens of hours, up to about a hundred: whole on its neck, and in two', () => {
    for (const took of [hoursOf(standing(helm), infillPercent), faceH + backH]) {
      expect(took).toBeGreaterThan(hours.value[0]);
      expect(took).toBeLessThan(hours.value[1]);
    }
  });

  it('spends near half of them on its face', () => {
    const percent = (100 * faceH) / (faceH + backH);
    expect(percent).toBeGreaterThan(facePiece.value[0]);
    expect(percent).toBeLessThan(facePiece.value[1]);
  });
});

describe('contour passes of the helm', async () => {
  const kernel = await Module();
  kernel.setup();
  const body = standing(helm);
  const { positions, triangles } = body;
  const solid = new kernel.Manifold(
    new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(positions), triVerts: triangles }),
  );
  const { lineMm, contourPasses } = TRADE_PRINT;

  it('cover and leave as much as offsets of its sections', () => {
    const lines = layOutLayers(body, TRADE_PRINT, QUIET_WORK);
    const ours = { passes: 0, rest: 0 };
    const theirs = { area: 0, passes: 0, rest: 0 };
    for (let k = 5; k < lines.measures.numLayers; k += 20) {
      ours.passes += (lines.outerMm[k]! + lines.innerMm[k]!) * lineMm;
      ours.rest += lines.restMm2[k]!;
      const section = solid.slice(lines.measures.middleMm[k]!);
      theirs.area += section.area();
      for (let i = 1; i <= contourPasses; i++)
        theirs.passes += offsetBy(section, (i - 0.5) * lineMm, lengthOf) * lineMm;
      theirs.rest += offsetBy(section, contourPasses * lineMm, (inside) => inside.area());
      section.delete();
    }
    const points = (own: number, other: number): number => (100 * Math.abs(own - other)) / theirs.area;
    expect(theirs.area).toBeGreaterThan(0);
    expect(points(ours.passes, theirs.passes)).toBeLessThan(offsets.tolerance.points);
    expect(points(ours.rest, theirs.rest)).toBeLessThan(offsets.tolerance.points);
  });
});

function offsetBy(section: CrossSection, inMm: number, measure: (inside: CrossSection) => number): number {
  const inside = section.offset(-inMm, 'Miter');
  const measured = measure(inside);
  inside.delete();
  return measured;
}

function lengthOf(section: CrossSection): number {
  let sum = 0;
  for (const loop of section.toPolygons())
    for (const [i, [x, y]] of loop.entries()) {
      const [u, v] = loop[(i + 1) % loop.length]!;
      sum += Math.hypot(u - x, v - y);
    }
  return sum;
}
