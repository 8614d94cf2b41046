// A machine (a filament printer), as the build file freezes it.
import { z } from 'zod';
import { MeasuredPrint } from './measured-print.ts';
import { Money } from './money.ts';
import { within } from './within.ts';
import { MACHINE_RANGES } from './workshop-ranges.ts';

const { bedSideMm, ...ranges } = MACHINE_RANGES;

/** Prints that one machine learns from, at most. */
export const MOST_MEASURED = 200;

/** Bed: the space a piece may fill, before the margin. Speeds in mm/s, accelerations in mm/s2. */
export const Machine = z.strictObject({
  id: z
    .string()
    .regex(/^[a-z0-9-]{1,40}$/)
    .describe('Short name used by other parts of the build'),
  name: z.string().min(1).max(60),
  bedMm: z
    .tuple([within(bedSideMm), within(bedSideMm), within(bedSideMm)])
    .describe('Width, depth, height of the printable space'),
  nozzleMm: within(ranges.nozzleMm),
  wallSpeedMmS: within(ranges.wallSpeedMmS).describe('Speed of contour passes'),
  outerWallSpeedMmS: within(ranges.outerWallSpeedMmS).describe('Speed of the outermost contour pass'),
  infillSpeedMmS: within(ranges.infillSpeedMmS),
  closingSpeedMmS: within(ranges.closingSpeedMmS).describe('Speed of closing layers'),
  supportSpeedMmS: within(ranges.supportSpeedMmS),
  firstLayerSpeedMmS: within(ranges.firstLayerSpeedMmS),
  travelSpeedMmS: within(ranges.travelSpeedMmS),
  accelerationMmS2: within(ranges.accelerationMmS2),
  travelAccelerationMmS2: within(ranges.travelAccelerationMmS2),
  junctionDeviationMm: within(ranges.junctionDeviationMm).describe(
    'Allowed rounding of corners; sets the speed through them',
  ),
  maxFlowMm3S: within(ranges.maxFlowMm3S).describe('Plastic the nozzle can melt'),
  shortestLayerS: within(ranges.shortestLayerS).describe('Least time a layer is given to cool'),
  retractionS: within(ranges.retractionS).describe('Time lost each time the nozzle leaves an island'),
  layerChangeS: within(ranges.layerChangeS),
  startUpS: within(ranges.startUpS).describe('Heating, levelling, first line'),
  clearanceMm: within(ranges.clearanceMm)
    .default(0.2)
    .describe('Gap between faces of two pieces that this machine prints to fit'),
  powerW: within(ranges.powerW).default(120).describe('Mean electric power while printing'),
  price: Money.nullable().default(null).describe('What the machine cost'),
  loaded: z
    .string()
    .regex(/^[a-z0-9-]{1,40}$/)
    .nullable()
    .default(null)
    .describe('Id of the material it usually holds'),
  measured: z
    .array(MeasuredPrint)
    .max(MOST_MEASURED)
    .default([])
    .describe('Prints of this machine that were measured; its hours and grams are corrected by them'),
  revision: z.int().min(1).default(1).describe('Raised by the workshop with every change of this machine'),
});
export type Machine = z.infer<typeof Machine>;

/** What decides how long a machine prints, its measured prints among it, and nothing else: a new price recomputes no hours. */
export const PrintingMachine = Machine.omit({
  clearanceMm: true,
  powerW: true,
  price: true,
  loaded: true,
  revision: true,
});
export type PrintingMachine = z.infer<typeof PrintingMachine>;

export function printingMachine(machine: Machine): PrintingMachine {
  const {
    clearanceMm: _clearance,
    powerW: _power,
    price: _price,
    loaded: _loaded,
    revision: _revision,
    ...rest
  } = machine;
  return rest;
}
