// Prints on one bed by hand: layers add, waiting is shared, one start is paid, and each hop once a layer.
import { describe, expect, it } from 'vitest';
import { meanHopMm, sharedTime } from '../../../../src/workshop/beds/shared-time.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { printingMachine } from '../../../../src/workshop/process/machine.ts';

const machine = {
  ...printingMachine(ordinaryMachine([220, 220, 250])),
  startUpS: 100,
  shortestLayerS: 8,
  retractionS: 0,
};
const layers = (num: number, seconds: number): Float64Array => new Float64Array(num).fill(seconds);

describe('prints on one bed', () => {
  it('alone takes its layers, each at least the shortest, and the start', () => {
    expect(sharedTime([layers(10, 3)], 0, machine).printS).toBe(100 + 10 * 8);
    expect(sharedTime([layers(10, 30)], 0, machine).printS).toBe(100 + 10 * 30);
  });

  it('wait together, and only as long as both are there', () => {
    // 3 + 5 s fill the layer of 8 s; above, the taller one waits alone
    const { printS, layerS } = sharedTime([layers(10, 3), layers(20, 5)], 0, machine);
    expect(printS).toBe(100 + 10 * 8 + 10 * 8);
    expect(layerS.length).toBe(20);
    expect(sharedTime([layers(10, 6), layers(10, 7)], 0, machine).printS).toBe(100 + 130);
  });

  it('pay the way from one to the next once each a layer', () => {
    const slow = { ...machine, travelSpeedMmS: 100, travelAccelerationMmS2: 1e9, retractionS: 0.25 };
    const { printS } = sharedTime([layers(10, 20), layers(10, 30)], 50, slow);
    expect(printS).toBeCloseTo(100 + 10 * (50 + 2 * (0.5 + 0.25)), 3);
  });

  it('hop to the next and back to the first', () => {
    expect(meanHopMm([[0, 0]])).toBe(0);
    expect(
      meanHopMm([
        [0, 0],
        [30, 0],
        [30, 40],
      ]),
    ).toBe((30 + 40 + 50) / 3);
  });
});
