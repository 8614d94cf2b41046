// What is noteworthy about the finish: papers that skip too far, a day that is too wet or too cold to spray.
import { type Finding, finding } from '../../base/findings.ts';
import { BASE_WORDS } from '../facts/coats.ts';
import { lyingUnder } from '../process/lying-under.ts';
import { placeWords } from '../process/place-words.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import { coatWords } from './coat-words.ts';
import type { SettledSurface } from './surface-settings.ts';

export function surfaceFindings(record: SurfaceRecord, settings: SettledSurface): readonly Finding[] {
  const { widestStep } = settings.numbers;
  return [
    ...record.wideSteps.map((step) => wideStep(step, widestStep)),
    ...softWalls(record, settings),
    ...clashes(record),
    ...unfitDay(record, settings),
  ];
}

function wideStep({ from, to, ratio }: SurfaceRecord['wideSteps'][number], widest: number): Finding {
  const say =
    ratio <= 1
      ? `P${to} after P${from} scratches anew what was smooth: put the papers in the order of their numbers.`
      : `From P${from} to P${to} the grain shrinks ${ratio.toFixed(2)} times, more than ${widest}: scratches of the first stay. Put a paper between.`;
  const about = { where: { path: 'surface.ladder' }, measured: ratio, limit: widest, unit: 'times' };
  return finding('LADDER_STEP_WIDE', say, about);
}

/** One for all places: the largest is told, the others are counted. */
function softWalls({ reach }: SurfaceRecord, { softMm }: SettledSurface): readonly Finding[] {
  const [largest] = reach.soft;
  if (largest === undefined) return [];
  const { atMm } = largest;
  const areaMm2 = reach.soft.reduce((sum, place) => sum + place.areaMm2, 0);
  const thinnestMm = Math.min(...reach.soft.map((place) => place.thinnestMm));
  const others = reach.soft.length - 1;
  const rest = others === 0 ? '' : `, and ${others} smaller ${others === 1 ? 'place' : 'places'}`;
  const say = `A powered sander could soften ${(areaMm2 / 100).toFixed(0)} cm² of wall thinner than ${softMm.toFixed(1)} mm: ${(largest.areaMm2 / 100).toFixed(0)} cm² about ${placeWords(atMm)}${rest}. Sand there by hand or wet, or let it cool between passes.`;
  const where = { path: 'surface.softMm', space: 'worn', atMm } as const;
  return [finding('WALL_SOFTENS', say, { where, measured: thinnestMm, limit: softMm, unit: 'mm' })];
}

/** Paints of which the upper one dissolves the lower. */
function clashes({ coats }: SurfaceRecord): readonly Finding[] {
  return coats.flatMap((layer, i) => {
    if (layer.meets !== 'never') return [];
    const below = lyingUnder(coats, i);
    const say = `The ${coatWords(layer)} must not meet the ${coatWords(below)} below it: its solvent wrinkles it, also weeks later. Take ${BASE_WORDS[below.base === 'spirit' ? 'enamel' : below.base]} again, or a coat of water-borne paint between the two, and try it on a scrap.`;
    const path = layer.kind === 'wash' ? 'surface.wash' : `surface.${layer.kind}.base`;
    return [finding('COATS_MUST_NOT_MEET', say, { where: { path } })];
  });
}

function unfitDay(
  { dewPointC }: SurfaceRecord,
  { airC, humidityPercent, numbers }: SettledSurface,
): readonly Finding[] {
  const { overDewC, mostHumidity, leastC, mostC } = numbers;
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
  else if (humidityPercent > mostHumidity)
    found.push(
      unfit(
        `${humidityPercent} percent of humidity is more than the ${mostHumidity} that paint stands: it blooms and dries slowly.`,
        humidityPercent,
        mostHumidity,
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
