// A print that was measured, as the machine that made it keeps it: what was estimated then, what it took and weighed.
import { z } from 'zod';
import { isFarOff } from './far-off.ts';
import { within } from './within.ts';
import { MEASURED_RANGES } from './workshop-ranges.ts';

const estimatedS = z.number().min(0).max(10_000_000);

/** Estimated seconds of one print by what a machine may do slower or quicker than its figures say. Layers that wait for the shortest layer
 *  time take that time whatever the machine does: they are a part of their own, whole. */
export const TimeParts = z.strictObject({
  contour: estimatedS.describe('Contour passes of layers that wait for nothing'),
  infill: estimatedS,
  closing: estimatedS,
  support: estimatedS,
  travel: estimatedS.describe('Ways without plastic and changes of layer'),
  held: estimatedS.describe('Layers that wait for the shortest layer time, with all that is in them'),
  startUp: estimatedS,
});
export type TimeParts = z.infer<typeof TimeParts>;
export type TimePart = keyof TimeParts;

export const TIME_PARTS: readonly TimePart[] = ['contour', 'infill', 'closing', 'support', 'travel', 'held', 'startUp'];

export function sumOfParts(parts: TimeParts): number {
  return TIME_PARTS.reduce((sum, part) => sum + parts[part], 0);
}

/** Frozen: nothing in it changes when the build is divided or printed another way. */
export const MeasuredPrint = z
  .strictObject({
    name: z.string().min(1).max(60).describe('What was printed'),
    parts: TimeParts.describe('Estimated then, before any correction'),
    estimatedG: z.number().min(0.01).max(100_000).describe('With its support, estimated then, before any correction'),
    material: z.string().min(1).max(40).describe('Id of the material'),
    tookS: within(MEASURED_RANGES.tookS).describe('Measured, from the start to the last layer'),
    weighedG: within(MEASURED_RANGES.weighedG).nullable().describe('Measured, with its support; null: not weighed'),
  })
  .superRefine(({ parts, estimatedG, tookS, weighedG }, context) => {
    const wrong = (path: string, message: string): void => context.addIssue({ code: 'custom', path: [path], message });
    const hours = (seconds: number): string => `${(seconds / 3600).toFixed(1)} h`;
    const estimated = sumOfParts(parts);
    if (isFarOff(tookS, estimated))
      wrong('tookS', `${FAR_OFF} the ${hours(estimated)} that were estimated, and ${hours(tookS)} ${IS_NOT}`);
    if (weighedG !== null && isFarOff(weighedG, estimatedG))
      wrong(
        'weighedG',
        `${FAR_OFF} the ${estimatedG.toFixed(0)} g that were estimated, and ${weighedG.toFixed(0)} g ${IS_NOT}`,
      );
  });
export type MeasuredPrint = z.infer<typeof MeasuredPrint>;

const FAR_OFF = 'must lie between a third and three times';
const IS_NOT = 'does not; look whether hours and minutes were mixed up, or whether it was printed with other settings';
