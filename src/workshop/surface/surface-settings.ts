// What the maker decides about filling and sanding, each with its default and the reason for it.
import { z } from 'zod';
import { GRITS } from '../facts/abrasives.ts';
import { BASES } from '../facts/coats.ts';
import { CAN_M2, FINISH_NUMBERS, type FinishNumberName, PLAIN_STEP_MM } from '../facts/finish-numbers.ts';
import { START_KINDS } from '../process/surface-record.ts';

const numbers = Object.fromEntries(
  Object.entries(FINISH_NUMBERS).map(([name, { what, usual, least, most }]) => [
    name,
    z.number().min(least).max(most).default(usual).describe(what),
  ]),
) as Record<FinishNumberName, z.ZodDefault<z.ZodNumber>>;

const paper = z.literal(GRITS.map(({ grade }) => grade));

/** What is sprayed over the primer, all of the outside. */
const coats = { coats: z.int().min(1).max(8), from: z.enum(['can', 'gun']).default('can') };

export const SurfaceSettings = z.strictObject({
  target: z
    .enum(['stage', 'hand', 'camera'])
    .default('hand')
    .describe('What it has to stand: a stage from five metres, being held in the hand, or a camera close by'),
  rings: z
    .enum(['primer', 'resin', 'putty'])
    .default('primer')
    .describe('What fills the layer lines: coats of filler primer, a brushed resin, or putty pulled over all'),
  seams: z
    .enum(['putty', 'filler'])
    .default('putty')
    .describe('What fills seams and the marks of support: one-part putty in thin pulls, or two-part filler'),
  starts: z
    .enum(START_KINDS)
    .default('hidden')
    .describe(
      'Where each layer starts: where the track is seen least, towards the back of the wearer, or somewhere else each time',
    ),
  sandedMm: z
    .number()
    .min(0)
    .max(0.5)
    .default(0.05)
    .describe('What sanding takes off the ridges before the first filling; more goes through thin walls'),
  primerCoats: z.int().min(1).max(8).default(3).describe('Coats of filler primer in a round'),
  primerFrom: z
    .enum(['can', 'gun'])
    .default('can')
    .describe(
      'How primer is sprayed: from cans, reckoned by what a can covers, or from a tin through a gun, reckoned by its film',
    ),
  canM2: z
    .number()
    .min(CAN_M2.least)
    .max(CAN_M2.most)
    .default(CAN_M2.usual)
    .describe('What a can of filler primer covers in one coat on a flat sheet, square metres'),
  plainStepMm: z
    .number()
    .min(PLAIN_STEP_MM.least)
    .max(PLAIN_STEP_MM.most)
    .default(PLAIN_STEP_MM.usual)
    .describe('Step to expect at a seam without keys: laid by eye while the glue sets'),
  ladder: z.array(paper).min(1).max(9).default([120, 180, 220, 320, 400]).describe('Papers in their order'),
  primerGrade: paper
    .default(220)
    .describe('Papers of this grade and finer sand primer; coarser ones the bare print and filler'),
  primerBase: z.enum(BASES).default('lacquer').describe('What the filler primer is made of'),
  paint: z
    .strictObject({
      ...coats,
      base: z.enum(['none', ...BASES]).default('lacquer'),
      coats: coats.coats.default(3),
    })
    .prefault({})
    .describe('The colour that lies under all others, over all of the outside'),
  wash: z
    .enum(['none', 'water', 'spirit'])
    .default('none')
    .describe('A thin dark paint that runs into creases: in water, or enamel or oil in white spirit'),
  clear: z
    .strictObject({
      ...coats,
      base: z.enum(['none', ...BASES]).default('lacquer'),
      coats: coats.coats.default(2),
      when: z
        .enum(['before', 'after', 'both'])
        .default('after')
        .describe('Before a wash it keeps the colour from it, after it keeps all of it'),
    })
    .prefault({})
    .describe('Clear coat over all of the outside'),
  swabMm: z.number().min(2).max(6).default(4).describe('Radius of a swab or a stick with paper'),
  fingerMm: z.number().min(7).max(15).default(10).describe('Radius of a finger with paper under it'),
  blockMm: z.number().min(20).max(45).default(30).describe('Radius of what of a sanding block lies on'),
  sanderMm: z.number().min(50).max(100).default(62).describe('Radius of the plate of a powered sander'),
  giveMm: z.number().min(0.2).max(3).default(1).describe('How far the soft face of these gives'),
  softMm: z
    .number()
    .min(0)
    .max(10)
    .nullable()
    .default(null)
    .describe('Walls thinner than this can soften under a powered sander; null: what is usual of the material'),
  airC: z.number().min(-10).max(45).default(20).describe('Air where it is sprayed'),
  humidityPercent: z.number().min(1).max(100).default(60).describe('Relative humidity where it is sprayed'),
  numbers: z.strictObject(numbers).prefault({}).describe('What filling, sanding and spraying are reckoned with'),
});
export type SurfaceSettings = z.infer<typeof SurfaceSettings>;

/** With the wall that softens settled by the material. */
export type SettledSurface = SurfaceSettings & { readonly softMm: number };
