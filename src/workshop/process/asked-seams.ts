// What the maker asks of a division: places kept clear, seams wanted, machines for pieces. All in levelled, unscaled model space, so that
// it holds for every size of the same model.
import { z } from 'zod';

const Coordinates = z.tuple([z.number(), z.number(), z.number()]);

/** A point marked on the surface. */
export const SurfacePoint = z.strictObject({
  atMm: Coordinates.describe('Levelled, unscaled model space, mm'),
  normal: Coordinates.describe('Outward, unit'),
});
export type SurfacePoint = z.infer<typeof SurfacePoint>;

const name = z.string().trim().min(1).max(60);

/** An area of the outside that no seam may cross. */
export const ClearArea = z.strictObject({
  name,
  outline: z.array(SurfacePoint).min(3).max(400).describe('Closed, in order'),
});
export type ClearArea = z.infer<typeof ClearArea>;

/** A plane by a point of it and its normal. */
export const PlaneAt = z.strictObject({
  atMm: Coordinates.describe('A point of it; levelled, unscaled model space, mm'),
  normal: Coordinates,
});
export type PlaneAt = z.infer<typeof PlaneAt>;

/** A seam that has to be there. With a normal its plane goes through the first point, square to the normal: a seam that is held, or was
 *  dragged to its place. Without, it is the plane nearest to all points, and with two the one through both that stands square to the
 *  surface. It cuts the part in which the first point lies, once the cuts are made that it lies within. */
export const AskedSeam = z.strictObject({
  name,
  points: z.array(SurfacePoint).min(1).max(64),
  normal: Coordinates.nullable().default(null),
  within: z
    .array(PlaneAt)
    .max(64)
    .default([])
    .describe(
      'Cuts that are made before it and that it ends on, in their order, each through the part in which it lies',
    ),
});
export type AskedSeam = z.infer<typeof AskedSeam>;

/** The piece in which the point lies is printed on this machine. */
export const AskedMachine = z.strictObject({ at: SurfacePoint, machine: z.string().min(1).max(40) });
export type AskedMachine = z.infer<typeof AskedMachine>;

export const AskedOfSeams = z.strictObject({
  clear: z.array(ClearArea).max(40).default([]),
  seams: z.array(AskedSeam).max(40).default([]),
  machines: z.array(AskedMachine).max(200).default([]),
});
export type AskedOfSeams = z.infer<typeof AskedOfSeams>;

const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth', 'ninth', 'tenth'];
const THINGS = {
  seams: ['seam', 'asked for'],
  clear: ['area', 'kept clear'],
  machines: ['machine', 'asked for a piece'],
} as const;

/** "The second seam asked for": by its place in its list, since a name may change without anything being computed again. */
export function askedWords(kind: keyof AskedOfSeams, index: number): string {
  const [thing, asked] = THINGS[kind];
  const ordinal = ORDINALS[index];
  const words = ordinal === undefined ? `${thing} ${index + 1}` : `${ordinal} ${thing}`;
  return `The ${words} ${asked}`;
}
