// Whole prints second by second, as worked by hand: layers that wait, layers that need not, and a nozzle that melts too little.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { printTime } from '../../src/workshop/printing/print-time.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { box, joinMeshes } from '../support/printing-shapes.ts';

interface ByHand {
  readonly name: string;
  /** From the bed up. */
  readonly body: readonly string[];
  readonly print: Partial<PrintSettings>;
  readonly limits: { readonly shortestLayerS: number; readonly maxFlowMm3S: number };
  readonly seconds: Readonly<Record<'contour' | 'infill' | 'travel' | 'waiting', number>>;
  readonly printS: number;
}
const { value, tolerance } = JSON.parse(readFileSync(new URL('./print-layers.json', import.meta.url), 'utf8')) as {
  value: ByHand[];
  tolerance: { relative: number };
};

const MACHINE = {
  ...ordinaryMachine([200, 200, 200]),
  wallSpeedMmS: 60,
  outerWallSpeedMmS: 60,
  firstLayerSpeedMmS: 60,
  infillSpeedMmS: 80,
  accelerationMmS2: 1000,
  junctionDeviationMm: 0.02,
  travelSpeedMmS: 150,
  travelAccelerationMmS2: 1500,
  retractionS: 0.25,
  layerChangeS: 0.3,
  startUpS: 0,
};

describe.each(value)('$name', ({ body, print, limits, seconds, printS }) => {
  const settings = PrintSettings.parse({ lineMm: 0.45, ...print });
  const time = printTime(
    layOutLayers(stacked(body), settings, QUIET_WORK),
    { ...MACHINE, ...limits },
    settings,
    QUIET_WORK,
  );
  const near = (got: number, expected: number): void =>
    expect(Math.abs(got - expected)).toBeLessThanOrEqual(tolerance.relative * printS);

  it.each(Object.entries(seconds))('%s takes %f s', (part, expected) => {
    near(time.seconds[part as keyof typeof seconds], expected);
  });
  it('and nothing else', () => {
    near(time.printS, printS);
    expect(time.seconds.closing + time.seconds.support + time.seconds.startUp).toBe(0);
  });
});

function stacked(body: readonly string[]): Mesh {
  let high = 0;
  const parts = body.map((text) => {
    const [width, depth, height] = text.replace('box ', '').split(' x ').map(Number) as [number, number, number];
    high += height;
    return box(width, depth, height, high - height);
  });
  return parts.reduce((all, part) => joinMeshes(all, part));
}
