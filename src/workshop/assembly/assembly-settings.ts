// What the maker decides about gluing, each with its default and the reason for it.
import { z } from 'zod';
import { BEAD_CURE_H, DROP_S, DROP_SPACING_MM, SUPPORT_MIN } from '../facts/adhesives.ts';

export const AssemblySettings = z.strictObject({
  grade: z
    .enum(['thin', 'medium', 'thick'])
    .default('medium')
    .describe(
      'How the cyanoacrylate flows: thin runs into a closed line and fills 0.05 mm, medium fills 0.25 mm and can still be moved, thick fills 0.5 mm and sets slowly',
    ),
  dropSpacingMm: z
    .number()
    .min(3)
    .max(100)
    .default(DROP_SPACING_MM)
    .describe('From drop to drop: half an inch tacks a wall that keys hold in place; the bead carries the load'),
  dropS: z.number().min(0.3).max(20).default(DROP_S).describe('Time for one drop'),
  openS: z
    .number()
    .min(3)
    .max(900)
    .nullable()
    .default(null)
    .describe('Longest time between laying a drop and pressing; null: what is usual of the grade'),
  holdS: z
    .number()
    .min(1)
    .max(900)
    .nullable()
    .default(null)
    .describe('How long a run is pressed; null: what is usual of the grade'),
  activator: z
    .boolean()
    .default(false)
    .describe('Whether a spray of activator sets the drops: quick, but hot, brittle and apt to leave a white bloom'),
  bead: z
    .boolean()
    .default(true)
    .describe('Whether a flexible bead is laid along the inside: it takes the knocks that a brittle glue does not'),
  beadLegMm: z
    .number()
    .min(1)
    .max(15)
    .default(4)
    .describe('Leg of the fillet: about the wall; more takes longer to cure and adds nothing'),
  beadCureH: z
    .number()
    .min(1)
    .max(336)
    .default(BEAD_CURE_H)
    .describe(
      'Until the bead is cured: 24 to 72 hours are told of flexible solvent adhesives; the longer is the safe one',
    ),
  tapeEveryMm: z
    .number()
    .min(20)
    .max(500)
    .default(80)
    .describe('From strip to strip of tape across the seam, and one at each end: it clamps what no clamp can hold'),
  hotTool: z
    .boolean()
    .default(false)
    .describe(
      'Whether the inside is also welded in spots with a hot tool: strong at once, but it smokes and can show outside',
    ),
  tackEveryMm: z.number().min(15).max(500).default(60).describe('From weld to weld of a hot tool'),
  supportMin: z
    .number()
    .min(0)
    .max(600)
    .default(SUPPORT_MIN)
    .describe('Minutes of hands to take support and strings off one piece, also from under its keys'),
  handMm: z
    .tuple([z.number().min(40).max(200), z.number().min(30).max(200)])
    .default([90, 60])
    .describe('Width and thickness of the hand that works inside: across the knuckles with a tube in it'),
});
export type AssemblySettings = z.infer<typeof AssemblySettings>;
