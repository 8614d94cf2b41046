// The maker's own hours and rates, as the workshop keeps them. No chapter reads them yet: Bench and Money will.
import { z } from 'zod';
import { Money } from './money.ts';
import { within } from './within.ts';
import { MAKER_RANGES } from './workshop-ranges.ts';

const hour = within(MAKER_RANGES.hour);

export const Maker = z.strictObject({
  handsOnHours: z
    .array(within(MAKER_RANGES.handsOnH))
    .length(7)
    .describe('Hours of hands-on work on each day of the week, Monday first'),
  awakeFromH: hour.describe('Hour of the day from which a print can be changed over'),
  awakeToH: hour.describe('Hour of the day until which a print can be changed over'),
  hourlyRate: Money.nullable().describe('What an hour of hands-on work is charged at'),
  energyPerKwh: Money.nullable().describe('What a kilowatt-hour costs'),
  revision: z.int().min(1),
});
export type Maker = z.infer<typeof Maker>;
