// Where the wall is too thin for the nozzle at the size it is worn.
import { type Finding, finding } from '../../base/findings.ts';
import type { Work } from '../../base/work.ts';
import { thinPlaces } from '../../geometry/wall/thin-places.ts';
import { placeWords } from '../process/place-words.ts';
import type { WornShell } from './worn-shell.ts';

/** Places told one by one; the others are counted. */
const TOLD = 3;
/** Smaller places are where edges come to a point, as every printed edge does, mm2. Common practice, no source. */
const LEAST_AREA_MM2 = 30;

/** One finding for the whole and one for each of the largest places, with area, thinnest wall and where it is (worn
 *  space). Two contour passes are the limit: a thinner wall prints as one pass, with gaps, or not at all. */
export function thinFindings(shell: WornShell, limitMm: number, work: Work): readonly Finding[] {
  const { places, areaMm2 } = thinPlaces(shell.mesh, shell.wallPerTriMm, limitMm, {
    work,
    leastAreaMm2: LEAST_AREA_MM2,
  });
  if (places.length === 0) return [];
  const limit = `two contour passes take ${limitMm.toFixed(1)} mm`;
  const told = places
    .slice(0, TOLD)
    .map(({ areaMm2: area, thinnestMm, atMm }) =>
      finding(
        'WALL_THIN',
        `A place of ${(area / 100).toFixed(area < 1000 ? 2 : 0)} cm² has a wall of down to ${thinnestMm.toFixed(2)} mm, about ${placeWords(atMm)}; ${limit}.`,
        { where: { path: 'wearer', space: 'worn', atMm }, measured: thinnestMm, limit: limitMm, unit: 'mm' },
      ),
    );
  if (places.length <= TOLD) return told;
  const rest = places.length - TOLD;
  const say = `${rest} smaller ${rest === 1 ? 'place is' : 'places are'} as thin; in all it is ${(areaMm2 / 100).toFixed(0)} cm² of surface, both sides counted.`;
  const thinnest = places.slice(TOLD).reduce((least, each) => Math.min(least, each.thinnestMm), Infinity);
  return [
    ...told,
    finding('WALL_THIN', say, { where: { path: 'wearer' }, measured: thinnest, limit: limitMm, unit: 'mm' }),
  ];
}
