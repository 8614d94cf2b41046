// What is noteworthy about the finish: papers that skip too far, a day that is too wet or too cold to spray.
import { type Finding, finding } from '../../base/findings.ts';
import { SPRAY_DAY } from '../facts/finishing.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import { WIDEST_STEP } from './grit-ladder.ts';
import type { SurfaceSettings } from './surface-settings.ts';

export function surfaceFindings(record: SurfaceRecord, settings: SurfaceSettings): readonly Finding[] {
  return [...record.wideSteps.map(wideStep), ...unfitDay(record, settings)];
}

function wideStep({ from, to, ratio }: SurfaceRecord['wideSteps'][number]): Finding {
  const say =
    ratio <= 1
      ? `P${to} after P${from} scratches anew what was smooth: put the papers in the order of their numbers.`
      : `From P${from} to P${to} the grain shrinks ${ratio.toFixed(2)} times, more than ${WIDEST_STEP}: scratches of the first stay. Put a paper between.`;
  const about = { where: { path: 'surface.ladder' }, measured: ratio, limit: WIDEST_STEP, unit: 'times' };
  return finding('LADDER_STEP_WIDE', say, about);
}

function unfitDay({ dewPointC }: SurfaceRecord, { airC, humidityPercent }: SurfaceSettings): readonly Finding[] {
  const { overDewC, mostHumidityPercent, leastC, mostC } = SPRAY_DAY;
  const unfit = (say: string, measured: number, limit: number, unit: string): Finding =>
    finding('SPRAY_DAY_UNFIT', say, { where: { path: 'surface.airC' }, measured, limit, unit });
  const found: Finding[] = [];
  const over = airC - dewPointC;
  if (over < overDewC)
    found.push(
      unfit(
        `The piece would be only ${over.toFixed(1)} degrees over the dew point of ${dewPointC.toFixed(1)}; paint asks for ${overDewC}. Wait for a drier day, or warm the piece and the room.`,
        over,
        overDewC,
        'degrees',
      ),
    );
  else if (humidityPercent > mostHumidityPercent)
    found.push(
      unfit(
        `${humidityPercent} percent of humidity is more than the ${mostHumidityPercent} that paint stands: it blooms and dries slowly.`,
        humidityPercent,
        mostHumidityPercent,
        'percent',
      ),
    );
  if (airC < leastC || airC > mostC)
    found.push(
      unfit(
        `At ${airC} degrees primer does not lie well: data sheets of plastic primers ask for ${leastC} to ${mostC}.`,
        airC,
        airC < leastC ? leastC : mostC,
        'degrees',
      ),
    );
  return found;
}
