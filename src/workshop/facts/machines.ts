// An ordinary filament machine by size. Speeds are common practice, no source: docs/facts.md.
import type { Machine } from '../process/machine.ts';

/** A machine of the given printable space (width, depth, height in mm) with ordinary speeds. */
export function ordinaryMachine(bedMm: readonly [number, number, number]): Machine {
  const size = bedMm.map((v) => String(Math.round(v))).join('x');
  return {
    id: `bed-${size}`,
    name: `${bedMm.map((v) => Math.round(v)).join(' x ')} mm machine`,
    bedMm: [bedMm[0], bedMm[1], bedMm[2]],
    nozzleMm: 0.4,
    wallSpeedMmS: 60,
    outerWallSpeedMmS: 40,
    infillSpeedMmS: 80,
    closingSpeedMmS: 50,
    supportSpeedMmS: 60,
    firstLayerSpeedMmS: 20,
    travelSpeedMmS: 150,
    accelerationMmS2: 1000,
    travelAccelerationMmS2: 1500,
    junctionDeviationMm: 0.02,
    maxFlowMm3S: 11,
    shortestLayerS: 8,
    retractionS: 0.25,
    layerChangeS: 0.3,
    startUpS: 360,
    clearanceMm: 0.2,
    powerW: 120,
    price: null,
    loaded: null,
    measured: [],
    revision: 1,
  };
}
