// An amount of money: whole minor units (cents) with the currency beside it.
import { z } from 'zod';
import { MONEY_RANGE } from './workshop-ranges.ts';

export const Money = z.strictObject({
  minor: z.int().min(MONEY_RANGE[0]).max(MONEY_RANGE[1]).describe('In the smallest unit of the currency'),
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/)
    .describe('ISO 4217 code'),
});
export type Money = z.infer<typeof Money>;
