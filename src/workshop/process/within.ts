// A number between two limits, as a schema.
import { z } from 'zod';
import type { NumberRange } from './workshop-ranges.ts';

export function within([least, most]: NumberRange): z.ZodNumber {
  return z.number().min(least).max(most);
}
