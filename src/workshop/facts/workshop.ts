// What a workshop begins with: three machines by size, four materials, ordinary hours; and where each value comes from.
import type { Machine } from '../process/machine.ts';
import type { Maker } from '../process/maker.ts';
import type { Material } from '../process/material.ts';
import type { MACHINE_RANGES, MAKER_RANGES, MATERIAL_RANGES } from '../process/workshop-ranges.ts';
import { ordinaryMachine } from './machines.ts';
import { ABS, ASA, PETG, PLA } from './materials.ts';

export interface OrdinaryWorkshop {
  readonly machines: Machine[];
  readonly materials: Material[];
  readonly maker: Maker;
}

/** Prices and rates are not noted: they differ from maker to maker, and a guess would pass for a fact. */
export function ordinaryWorkshop(): OrdinaryWorkshop {
  return {
    machines: [
      { ...ordinaryMachine([180, 180, 180]), loaded: PLA.id },
      { ...ordinaryMachine([220, 220, 250]), loaded: PLA.id },
      { ...ordinaryMachine([300, 300, 400]), loaded: PLA.id, powerW: LARGE_BED_POWER_W },
    ],
    materials: [PLA, PETG, ABS, ASA],
    maker: ordinaryMaker(),
  };
}

/** Monday to Friday, six hours of hands-on work; prints changed over between seven and ten at night. Common practice, no source. */
export function ordinaryMaker(): Maker {
  return {
    handsOnHours: [6, 6, 6, 6, 6, 0, 0],
    awakeFromH: 7,
    awakeToH: 22,
    hourlyRate: null,
    energyPerKwh: null,
    revision: 1,
  };
}

/** Plug-meter test of a machine with a 300 mm bed, nozzle 225 and bed 65 degrees: 189.5 W in the mean. Grade B. */
export const LARGE_BED_POWER_W = 190;

const PRACTICE = 'Common practice, no source.';

/** Where the ordinary value of each number comes from, as the note under it says it. The tables are in docs/facts.md. */
export const MACHINE_SOURCES: Readonly<Record<keyof typeof MACHINE_RANGES, string>> = {
  bedSideMm: 'Read it off your machine.',
  nozzleMm: PRACTICE,
  wallSpeedMmS: PRACTICE,
  outerWallSpeedMmS: PRACTICE,
  infillSpeedMmS: PRACTICE,
  closingSpeedMmS: PRACTICE,
  supportSpeedMmS: PRACTICE,
  firstLayerSpeedMmS: PRACTICE,
  travelSpeedMmS: PRACTICE,
  accelerationMmS2: PRACTICE,
  travelAccelerationMmS2: PRACTICE,
  junctionDeviationMm: PRACTICE,
  maxFlowMm3S: PRACTICE,
  shortestLayerS: PRACTICE,
  retractionS: PRACTICE,
  layerChangeS: PRACTICE,
  startUpS: PRACTICE,
  clearanceMm: 'Design guidelines of a print service: 0.15 to 0.25 mm for a normal fit. Print a pair and measure.',
  powerW: 'A published regression gives 114 to 123 W; a plug meter on a 300 mm bed read 190 W. Measure your own.',
};

export const MATERIAL_SOURCES: Readonly<Record<keyof typeof MATERIAL_RANGES, string>> = {
  densityGCm3: 'PLA and PETG: material property pages. ABS and ASA: no source seen. The data sheet of your pack knows.',
  filamentMm: 'Common practice, no source; the other common one is 2.85 mm.',
  packG: PRACTICE,
};

export const MAKER_SOURCES: Readonly<Record<keyof typeof MAKER_RANGES, string>> = {
  handsOnH: PRACTICE,
  hour: PRACTICE,
};
