// How the maker wants single pieces to lie: asked by a place on the piece, since letters of pieces change with the division.
import { z } from 'zod';

/** A piece that is to lie another way than the score prefers. */
export const AskedPose = z.strictObject({
  name: z.string().max(60).default('').describe('Letter of the piece when it was asked'),
  atMm: z
    .tuple([z.number(), z.number(), z.number()])
    .describe('A place on the outside of the piece, levelled and unscaled model space'),
  up: z
    .tuple([z.number().min(-1).max(1), z.number().min(-1).max(1), z.number().min(-1).max(1)])
    .refine((up) => Math.abs(Math.hypot(...up) - 1) < 1e-3, 'must be of length 1')
    .describe('The way, levelled model space, that is up on the bed; of length 1'),
});
export type AskedPose = z.infer<typeof AskedPose>;

export const PosesChoices = z.strictObject({ asked: z.array(AskedPose).max(60).default([]) });
export type PosesChoices = z.infer<typeof PosesChoices>;
