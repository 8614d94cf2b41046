// A printing material, as the build file freezes it.
import { z } from 'zod';
import { Money } from './money.ts';
import { within } from './within.ts';
import { MATERIAL_RANGES } from './workshop-ranges.ts';

export const Material = z.strictObject({
  id: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().min(1).max(60),
  densityGCm3: within(MATERIAL_RANGES.densityGCm3),
  filamentMm: within(MATERIAL_RANGES.filamentMm).describe('Diameter of the filament'),
  packG: within(MATERIAL_RANGES.packG).default(1000).describe('Filament in one pack, without its spool'),
  packPrice: Money.nullable().default(null).describe('What one pack costs'),
  revision: z.int().min(1).default(1).describe('Raised by the workshop with every change of this material'),
});
export type Material = z.infer<typeof Material>;

/** What decides grams and metres, and nothing else. */
export const PrintingMaterial = Material.pick({ densityGCm3: true, filamentMm: true });
export type PrintingMaterial = z.infer<typeof PrintingMaterial>;
