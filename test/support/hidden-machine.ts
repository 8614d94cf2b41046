// Machines that do not do what their figures say: speeds, accelerations and pauses off by hidden factors, a hidden jerk limit, prints that scatter.
import type { Machine } from '../../src/workshop/process/machine.ts';
import type { HiddenMachine } from './piece-simulator.ts';

/** Drawn anew for each stream. The shortest layer time is a setting of the print, not of the machine: it is kept. */
export function hiddenMachine(figures: Machine, random: () => number): HiddenMachine {
  const off = (value: number, least: number, most: number): number => value * (least + (most - least) * random());
  const contour = 0.85 + 0.25 * random();
  return {
    machine: {
      ...figures,
      wallSpeedMmS: figures.wallSpeedMmS * contour,
      outerWallSpeedMmS: off(figures.outerWallSpeedMmS * contour, 0.95, 1.05),
      infillSpeedMmS: off(figures.infillSpeedMmS, 0.75, 1.15),
      closingSpeedMmS: off(figures.closingSpeedMmS, 0.75, 1.15),
      supportSpeedMmS: off(figures.supportSpeedMmS, 0.75, 1.15),
      firstLayerSpeedMmS: off(figures.firstLayerSpeedMmS, 0.8, 1.2),
      travelSpeedMmS: off(figures.travelSpeedMmS, 0.6, 1.2),
      accelerationMmS2: off(figures.accelerationMmS2, 0.6, 1.2),
      travelAccelerationMmS2: off(figures.travelAccelerationMmS2, 0.6, 1.2),
      retractionS: off(figures.retractionS, 0.6, 2),
      layerChangeS: off(figures.layerChangeS, 0.6, 2.5),
      startUpS: off(figures.startUpS, 0.6, 1.6),
    },
    law: { jerkMmS3: off(50_000, 0.5, 2), stepMmS: off(9, 0.7, 1.3) },
  };
}

/** A share that comes by chance, as many small causes make it: the sum of twelve even ones is nearly normal. */
export function scatter(share: number, random: () => number): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) sum += random();
  return 1 + share * sum;
}
