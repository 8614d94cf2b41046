// How pieces are printed: the maker's choices that Pieces, Printing and Surface all read.
import { z } from 'zod';
import { ORDINARY_HOURS_A_FAILURE } from './failure-risk.ts';

export const PrintSettings = z.strictObject({
  layerMm: z.number().min(0.05).max(1).default(0.2).describe('Layer height'),
  firstLayerMm: z.number().min(0.05).max(1).default(0.2).describe('Height of the first layer'),
  lineMm: z.number().min(0.1).max(3).default(0.45).describe('Width of a printed line'),
  contourPasses: z.int().min(1).max(12).default(3).describe('Contour passes along each side of a wall'),
  infillPercent: z.number().min(0).max(100).default(10),
  closingLayers: z.int().min(0).max(20).default(4).describe('Solid layers that close tops and bottoms'),
  overhangLimitDeg: z
    .number()
    .min(10)
    .max(89)
    .default(45)
    .describe('Steepest overhang printed without support, measured from vertical'),
  supportPercent: z.number().min(1).max(60).default(12).describe('Share of a support column that is plastic'),
  hoursAFailure: z
    .number()
    .min(1)
    .max(100_000)
    .default(ORDINARY_HOURS_A_FAILURE)
    .describe('Mean hours of printing between two prints that fail on their way; your own log knows'),
  firstLayerFailPercent: z.number().min(0).max(50).default(3).describe('Prints that fail on their first layer'),
});
export type PrintSettings = z.infer<typeof PrintSettings>;
