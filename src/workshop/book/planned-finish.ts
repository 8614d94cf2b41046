// The finish in plan.json: what shows where, what is bought, and the work at the bench by days.
import { z } from 'zod';
import { FINISH_TOOLS } from '../facts/finishing.ts';
import { SURFACE_CLASSES, type SurfaceRecord } from '../process/surface-record.ts';

export const PlannedFinish = z.strictObject({
  rounds: z.int(),
  areaMm2: z.number().describe('Of the outside'),
  handsOnS: z.number(),
  endDay: z.int().describe('On which all is hard, from the first day at the bench, 1'),
  pieces: z.array(
    z.strictObject({
      id: z.string(),
      handsOnS: z.number().describe('Without setting up and seams'),
      ringMm: z.number().describe('95 percent of the treads that show as rings are narrower'),
      flareMm: z.number().describe('Edges of the outside on the bed'),
      classes: z.array(
        z.strictObject({
          of: z.enum(SURFACE_CLASSES),
          areaMm2: z.number(),
          needMm: z.number().describe('What 95 percent of it stand out at most'),
          rounds: z.int(),
        }),
      ),
      reachMm2: z
        .strictObject(Object.fromEntries(FINISH_TOOLS.map(({ name }) => [name, z.number()])))
        .describe('By the largest that gets there'),
    }),
  ),
  seams: z.array(
    z.strictObject({ id: z.string(), lengthMm: z.number(), stepMm: z.number(), worstMm: z.number(), rounds: z.int() }),
  ),
  shopping: z.array(
    z.strictObject({
      what: z.string(),
      amount: z.number(),
      unit: z.enum(['ml', 'mm2']),
      packs: z.int(),
      pack: z.string(),
    }),
  ),
  steps: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      day: z.int().describe('On which it can begin at the earliest'),
      handsOnS: z.number(),
      unattendedS: z.number().describe('Drying, with the waits between coats'),
      after: z.array(z.string()),
    }),
  ),
});
export type PlannedFinish = z.infer<typeof PlannedFinish>;

export function plannedFinish(record: SurfaceRecord): PlannedFinish {
  return {
    rounds: record.rounds,
    areaMm2: record.totals.areaMm2,
    handsOnS: record.totals.handsOnS,
    endDay: record.days.end,
    pieces: record.pieces.map(({ piece, classes, ringMm, flareMm }, index) => ({
      id: piece,
      handsOnS: record.piecesS[index]!,
      ringMm,
      flareMm,
      classes: classes.map(({ of, areaMm2, needMm, rounds }) => ({ of, areaMm2, needMm, rounds })),
      reachMm2: Object.fromEntries(
        FINISH_TOOLS.map(({ name }, tool) => [name, record.reach.pieces[index]!.areaMm2[tool]!]),
      ),
    })),
    seams: record.seams.map(({ seam, lengthMm, stepMm, worstMm, rounds }) => ({
      id: seam,
      lengthMm,
      stepMm,
      worstMm,
      rounds,
    })),
    shopping: record.shopping.map((line) => ({ ...line })),
    steps: record.steps.map(({ id, name, handsOnS, unattendedS, after }, i) => ({
      id,
      name,
      day: record.days.starts[i]!,
      handsOnS,
      unattendedS,
      after: [...after],
    })),
  };
}
