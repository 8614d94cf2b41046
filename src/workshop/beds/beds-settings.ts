// What the maker decides about beds: how many of the helm, how far apart, when there are hands, and what is on the spools.
import { z } from 'zod';
import { PrintingMachine } from '../process/machine.ts';
import { Material } from '../process/material.ts';
import { PrintSettings } from '../process/print-settings.ts';

const hour = z.number().min(0).max(24);

export const BedsChoices = z.strictObject({
  copies: z.int().min(1).max(20).default(1).describe('How many of this build are printed'),
  gapMm: z
    .number()
    .min(0)
    .max(50)
    .default(5)
    .describe('Between two pieces on one bed: room for their first-layer margins and a blade'),
  aim: z
    .enum(['soonest', 'surest'])
    .default('soonest')
    .describe(
      'soonest: all is done as early as can be, and of such plans the one that loses the fewest hours; surest: the other way round',
    ),
  startsH: hour.default(8).describe('Hour of the first day at which the first prints start'),
  wakingFromH: hour.default(7).describe('Hour of the day from which beds are changed'),
  wakingToH: hour
    .default(22)
    .describe(
      'Hour of the day until which beds are changed; not later than the other: until that hour of the next day',
    ),
  changeoverMin: z
    .number()
    .min(0)
    .max(240)
    .default(15)
    .describe('Hands between two prints of a machine: taking off, cleaning the bed, starting'),
  leftG: z
    .record(z.string().regex(/^[a-z0-9-]{1,40}$/), z.number().min(0).max(50_000))
    .default({})
    .describe('Filament on the spool that a machine holds now, by the id of the machine; none: a full pack'),
});
export type BedsChoices = z.infer<typeof BedsChoices>;

export const BedsSettings = z.strictObject({
  ...BedsChoices.shape,
  machines: z.array(PrintingMachine).min(1),
  marginMm: z.number(),
  packG: Material.shape.packG.unwrap(),
  print: PrintSettings.pick({ layerMm: true, firstLayerMm: true, hoursAFailure: true, firstLayerFailPercent: true }),
});
export type BedsSettings = z.infer<typeof BedsSettings>;
