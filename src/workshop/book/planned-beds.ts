// The beds in plan.json.
import { z } from 'zod';
import type { BedsRecord } from '../process/beds-record.ts';

export const PlannedBeds = z.strictObject({
  copies: z.int(),
  startsS: z.number().describe('Seconds since midnight before the first start, as all times here'),
  endsS: z.number(),
  loads: z.array(
    z.strictObject({
      machine: z.string(),
      places: z.array(
        z.strictObject({
          piece: z.string().describe('Id of a piece, or splices'),
          copy: z.int(),
          turnDeg: z
            .number()
            .describe('Of the piece as its file has it, about the vertical through 0,0, counter-clockwise'),
          atMm: z.tuple([z.number(), z.number()]).describe('Then shifted by; from the front left corner of the bed'),
        }),
      ),
      startsS: z.number(),
      endsS: z.number(),
      filamentG: z.number(),
      supportG: z.number(),
      filamentM: z.number(),
      failingShare: z.number(),
      leftG: z.number().describe('On the spool after it'),
      spoolEnds: z.array(z.strictObject({ atS: z.number(), heightMm: z.number(), awake: z.boolean() })),
      gapMm: z.number().nullable().describe('Between the two pieces that lie nearest'),
    }),
  ),
  spools: z.array(z.strictObject({ machine: z.string(), filamentG: z.number(), fresh: z.int() })),
});
export type PlannedBeds = z.infer<typeof PlannedBeds>;

export function plannedBeds({ copies, startsS, endsS, loads, spools }: BedsRecord): PlannedBeds {
  return {
    copies,
    startsS,
    endsS,
    loads: loads.map(({ places, spoolEnds, heightMm: _height, ...load }) => ({
      ...load,
      places: places.map(({ atMm, ...place }) => ({ ...place, atMm: [atMm[0], atMm[1]] })),
      spoolEnds: spoolEnds.map((end) => ({ ...end })),
    })),
    spools: spools.map((spool) => ({ ...spool })),
  };
}
