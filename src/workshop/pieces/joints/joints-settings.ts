// What the maker decides about the joints, each with its default and the reason for it.
import { z } from 'zod';

const mm = (byDefault: number, least: number, most: number, why: string) =>
  z.number().min(least).max(most).default(byDefault).describe(why);

/** A seam that is to be joined another way than its wall asks for. */
export const AskedJoint = z.strictObject({
  name: z.string().max(60).default(''),
  atMm: z
    .tuple([z.number(), z.number(), z.number()])
    .describe('A place on the seam, levelled and unscaled model space: ids of seams change with the division'),
  join: z.enum(['tabs', 'laps', 'strips', 'pins', 'rods', 'magnets', 'screws', 'none']),
});
export type AskedJoint = z.infer<typeof AskedJoint>;

/** The maker's part of the settings, as the build file holds it. */
export const JointsChoices = z.strictObject({
  keys: z.boolean().default(true).describe('Whether pieces get keys; without, they are written as they were cut'),
  toleranceMm: mm(
    0.2,
    0,
    1,
    'How far a printed face may lie off, either way: plus or minus 0.2 mm is typical of a tuned machine',
  ),
  skinMm: mm(
    1.2,
    0.4,
    10,
    'Wall left outside of whatever is cut for a key: three lines of a 0.4 mm nozzle, so that nothing shows or breaks through',
  ),
  reliefMm: mm(
    0.4,
    0,
    1,
    'Taken back along the outer edge of a mating face that prints down: first layers flare by some tenths',
  ),
  spacingMm: mm(60, 20, 300, 'Distance between keys along a seam: closer holds a thin wall flat, wider is quicker'),
  tabWidthMm: mm(16, 6, 60, 'Width of a tab, lap or strip along the seam'),
  tabReachMm: mm(8, 3, 30, 'How far a tab, lap or strip reaches over the seam'),
  tabThickMm: mm(2.4, 1.2, 6, 'Thickness of a tab: six lines of a 0.4 mm nozzle'),
  pinMm: mm(4, 2, 12, 'Diameter of pins'),
  rodMm: mm(1.75, 1, 8, 'Diameter of loose rod; 1.75 mm is a length of filament'),
  magnetMm: z
    .tuple([z.number().min(2).max(30), z.number().min(0.5).max(15)])
    .default([6, 3])
    .describe('Diameter and height of disc magnets'),
  screwMm: mm(3, 2, 6, 'Diameter of screws of removable joints'),
  marks: z
    .boolean()
    .default(true)
    .describe('Whether each piece has its letter and an arrow that points up engraved on its inside'),
  asked: z.array(AskedJoint).max(60).default([]),
});
export type JointsChoices = z.infer<typeof JointsChoices>;

/** A machine, as far as joints read it. */
export const JointsMachine = z.strictObject({
  id: z.string(),
  bedMm: z.tuple([z.number(), z.number(), z.number()]),
  nozzleMm: z.number(),
  clearanceMm: z.number(),
});
export type JointsMachine = z.infer<typeof JointsMachine>;

export const JointsSettings = JointsChoices.extend({
  machines: z.array(JointsMachine).min(1),
  marginMm: z.number(),
});
export type JointsSettings = z.infer<typeof JointsSettings>;
