// Seconds that can be reckoned by hand: flow limit, shortest layer, corners of a square, speeds of the first layer.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { layOutLayers } from '../../../../src/workshop/printing/layer-lines.ts';
import { printTime } from '../../../../src/workshop/printing/print-time.ts';
import { flowLimitedSpeed, waitingSeconds } from '../../../../src/workshop/process/motion-time.ts';
import { PrintSettings } from '../../../../src/workshop/process/print-settings.ts';
import { box, tube } from '../../../support/printing-shapes.ts';

const print = PrintSettings.parse({ contourPasses: 1, infillPercent: 0, closingLayers: 0 });
const quiet = {
  ...ordinaryMachine([200, 200, 200]),
  shortestLayerS: 0,
  layerChangeS: 0,
  retractionS: 0,
  startUpS: 0,
  travelSpeedMmS: 2000,
  travelAccelerationMmS2: 50000,
};

it('flow: 11 mm3/s through 0.45 x 0.4 mm allows 61.1 mm/s', () => {
  expect(flowLimitedSpeed(80, 11, 0.45 * 0.4)).toBeCloseTo(61.1111, 4);
  expect(flowLimitedSpeed(40, 11, 0.45 * 0.4)).toBe(40);
});

it('a layer of 5 s waits 3 s when 8 are asked', () => {
  expect(waitingSeconds(5, 8)).toBe(3);
  expect(waitingSeconds(9, 8)).toBe(0);
});

describe('one pass round a 10 mm square at 60 mm/s: 0.867389 s, from 10 mm contour to 9.55 mm pass', () => {
  const on = { ...quiet, outerWallSpeedMmS: 60, firstLayerSpeedMmS: 60, maxFlowMm3S: 100 };
  const lines = layOutLayers(box(10, 10, 1), print, QUIET_WORK);
  const time = printTime(lines, on, print, QUIET_WORK);
  it('takes five layers of it', () => {
    expect(time.seconds.contour).toBeCloseTo(5 * 0.867389 * 0.955, 5);
    expect(time.seconds.infill + time.seconds.closing + time.seconds.support + time.seconds.waiting).toBe(0);
  });
});

describe('a wide tube runs at the speeds given', () => {
  const lines = layOutLayers(tube(80, 77, 4, 720), { ...print, contourPasses: 2 }, QUIET_WORK);
  const on = { ...quiet, outerWallSpeedMmS: 30, wallSpeedMmS: 60, firstLayerSpeedMmS: 15, maxFlowMm3S: 100 };
  const round = 2 * Math.PI * 157;
  it('outer passes at 30, the others at 60, the first layer at 15 mm/s, from rest to rest', () => {
    const { contour } = printTime(lines, on, { ...print, contourPasses: 2 }, QUIET_WORK).seconds;
    const at = (speed: number): number => round / speed + (2 * speed) / 1000;
    const expected = 19 * (at(30) + at(60)) + 2 * at(15);
    expect(contour / expected).toBeCloseTo(1, 3);
  });
  it('never faster than the nozzle melts: 0.9 mm3/s is 10 mm/s', () => {
    const { contour } = printTime(
      lines,
      { ...on, maxFlowMm3S: 0.9 },
      { ...print, contourPasses: 2 },
      QUIET_WORK,
    ).seconds;
    expect(contour / ((20 * 2 * round) / 10)).toBeCloseTo(1, 3);
  });
});

describe('small layers wait', () => {
  const on = { ...quiet, shortestLayerS: 10, startUpS: 100 };
  const lines = layOutLayers(box(10, 10, 10), print, QUIET_WORK);
  const time = printTime(lines, on, print, QUIET_WORK);
  it('50 layers of 10 s and the start-up', () => {
    expect(time.printS).toBeCloseTo(600, 9);
  });
  it('spread evenly over the height', () => {
    for (const seconds of time.secondsByHeight) expect(seconds).toBeCloseTo(25, 9);
  });
});

describe('infill', () => {
  const filled = { ...print, infillPercent: 20 };
  const on = {
    ...quiet,
    infillSpeedMmS: 60,
    firstLayerSpeedMmS: 60,
    maxFlowMm3S: 100,
    accelerationMmS2: 50000,
    junctionDeviationMm: 0.5,
  };
  it('of a wide block runs near its speed: 20 percent of the area over the line width, and joins of pi/2 x 2.25 mm', () => {
    const lines = layOutLayers(box(100, 100, 10), filled, QUIET_WORK);
    const { infill } = printTime(lines, on, filled, QUIET_WORK).seconds;
    const lineMm = (99.1 * 99.1 * 0.2) / 0.45;
    const span = (Math.PI * 99.1) / 4;
    expect(infill / ((50 * (lineMm * (1 + (Math.PI / 2) * (2.25 / span)))) / 60)).toBeCloseTo(1, 2);
  });
});
