// A printing material, as the build file freezes it.
import { z } from 'zod';

export const Material = z.strictObject({
  id: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().min(1).max(60),
  densityGCm3: z.number().min(0.5).max(10),
  filamentMm: z.number().min(1).max(4).describe('Diameter of the filament'),
});
export type Material = z.infer<typeof Material>;
