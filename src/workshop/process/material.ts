// A printing material, as the build file freezes it.
import { z } from 'zod';
import { Money } from './money.ts';

export const Material = z.strictObject({
  id: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().min(1).max(60),
  densityGCm3: z.number().min(0.5).max(10),
  filamentMm: z.number().min(1).max(4).describe('Diameter of the filament'),
  packG: z.number().min(1).max(50000).default(1000).describe('Filament in one pack, without its spool'),
  packPrice: Money.nullable().default(null).describe('What one pack costs'),
  revision: z.int().min(1).default(1).describe('Raised by the workshop with every change of this material'),
});
export type Material = z.infer<typeof Material>;

/** What decides grams and metres, and nothing else. */
export const PrintingMaterial = Material.pick({ densityGCm3: true, filamentMm: true });
export type PrintingMaterial = z.infer<typeof PrintingMaterial>;
