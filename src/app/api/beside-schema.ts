// The schema of two books side by side, apart from beside.ts so that the page can write addresses without loading schemas.
import { z } from 'zod';
import { BuildState, Computing } from './api.ts';
import type { Beside, BesideSide } from './beside.ts';
import { ComparisonSchema } from './book-schema.ts';

const side: z.ZodType<BesideSide> = BuildState.unwrap()
  .pick({ id: true, version: true, build: true, text: true, summary: true, drawings: true, trouble: true })
  .extend({
    name: z.string().describe('How the reader tells the two apart'),
    live: z.boolean().describe('Whether it can be changed'),
    computing: Computing.nullable(),
  })
  .meta({ id: 'BesideSide' });

export const BesideSchema: z.ZodType<Beside> = z
  .strictObject({
    left: side,
    right: side,
    comparison: ComparisonSchema.nullable().describe('Null until both are computed'),
  })
  .meta({ id: 'Beside' });
