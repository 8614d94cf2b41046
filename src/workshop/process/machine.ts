// A machine (a filament printer), as the build file freezes it.
import { z } from 'zod';
import { Money } from './money.ts';

/** Bed: the space a piece may fill, before the margin. Speeds in mm/s, accelerations in mm/s2. */
export const Machine = z.strictObject({
  id: z
    .string()
    .regex(/^[a-z0-9-]{1,40}$/)
    .describe('Short name used by other parts of the build'),
  name: z.string().min(1).max(60),
  bedMm: z
    .tuple([z.number().min(50).max(2000), z.number().min(50).max(2000), z.number().min(50).max(2000)])
    .describe('Width, depth, height of the printable space'),
  nozzleMm: z.number().min(0.1).max(2),
  wallSpeedMmS: z.number().min(1).max(1000).describe('Speed of contour passes'),
  outerWallSpeedMmS: z.number().min(1).max(1000).describe('Speed of the outermost contour pass'),
  infillSpeedMmS: z.number().min(1).max(1000),
  closingSpeedMmS: z.number().min(1).max(1000).describe('Speed of closing layers'),
  supportSpeedMmS: z.number().min(1).max(1000),
  firstLayerSpeedMmS: z.number().min(1).max(1000),
  travelSpeedMmS: z.number().min(1).max(2000),
  accelerationMmS2: z.number().min(50).max(50000),
  travelAccelerationMmS2: z.number().min(50).max(50000),
  junctionDeviationMm: z
    .number()
    .min(0.001)
    .max(0.5)
    .describe('Allowed rounding of corners; sets the speed through them'),
  maxFlowMm3S: z.number().min(0.5).max(200).describe('Plastic the nozzle can melt'),
  shortestLayerS: z.number().min(0).max(120).describe('Least time a layer is given to cool'),
  retractionS: z.number().min(0).max(10).describe('Time lost each time the nozzle leaves an island'),
  layerChangeS: z.number().min(0).max(10),
  startUpS: z.number().min(0).max(7200).describe('Heating, levelling, first line'),
  clearanceMm: z
    .number()
    .min(0)
    .max(2)
    .default(0.2)
    .describe('Gap between faces of two pieces that this machine prints to fit'),
  powerW: z.number().min(0).max(5000).default(120).describe('Mean electric power while printing'),
  price: Money.nullable().default(null).describe('What the machine cost'),
  loaded: z
    .string()
    .regex(/^[a-z0-9-]{1,40}$/)
    .nullable()
    .default(null)
    .describe('Id of the material it usually holds'),
  revision: z.int().min(1).default(1).describe('Raised by the workshop with every change of this machine'),
});
export type Machine = z.infer<typeof Machine>;

/** What decides how long a machine prints, and nothing else: a new price recomputes no hours. */
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
