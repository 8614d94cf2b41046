// What the maker decides about the model: how it stands, and what becomes of a surface that bounds no solid.
import { z } from 'zod';
import { USUAL_WALL_MM } from '../facts/walls.ts';

const component = z.number().min(-1).max(1);
const direction = z
  .tuple([component, component, component])
  .refine(([x, y, w]) => Math.hypot(x, y, w) > 1e-3, 'a direction is not all zeros');
const turn = z.number().min(-180).max(180);
const coordinate = z.number().min(-1e7).max(1e7);
const point = z.tuple([coordinate, coordinate, coordinate]);

/** How the maker corrects the levelling. Directions and points are in file space; directions of any length. */
export const ModelLevel = z.strictObject({
  up: direction.nullable().optional().describe('Which way of the file is up; null: as found'),
  front: direction.nullable().optional().describe('Which way of the file is front; null: as found'),
  levelPoints: z
    .tuple([point, point, point])
    .nullable()
    .optional()
    .describe(
      'Three points of the file, mm, that lie level when the model stands upright, such as three of the neck rim',
    ),
  turnDeg: z
    .tuple([turn, turn, turn])
    .optional()
    .describe('Extra turns after levelling about X, Y, Z in this order: forward, to its left, to its right'),
});
export type ModelLevel = z.infer<typeof ModelLevel>;

/** What becomes of a surface that bounds no solid. Defects that have one right answer are mended without being asked about. */
export const ModelMend = z.strictObject({
  openings: z
    .enum(['ask', 'wall', 'close'])
    .default('ask')
    .describe('Large openings of a sheet: ask, give the sheet a wall inward, or close them with a lid'),
  sheetWallMm: z
    .number()
    .min(0.4)
    .max(40)
    .default(USUAL_WALL_MM)
    .describe('Wall that a sheet is given, at the size of the file, mm'),
  rebuild: z
    .boolean()
    .default(false)
    .describe('Rebuild the whole surface from what lies inside and outside, instead of mending it exactly'),
  rebuildCells: z
    .number()
    .int()
    .min(60)
    .max(1200)
    .default(320)
    .describe('Cells along the longest side when the surface is rebuilt'),
});
export type ModelMend = z.infer<typeof ModelMend>;

export const ModelSettings = z.strictObject({
  mesh: z.string().describe('Id of the welded mesh, file space, mm'),
  level: ModelLevel,
  mend: ModelMend,
});
export type ModelSettings = z.infer<typeof ModelSettings>;
