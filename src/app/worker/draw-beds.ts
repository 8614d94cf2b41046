// The drawings of the Beds chapter: each way a bed is laid, and the hours of the machines.
import { bedDrawing, type DrawnOutline } from '../../documents/drawing/bed-drawing.ts';
import { hoursDrawing } from '../../documents/drawing/hours-drawing.ts';
import { turnedLoop } from '../../geometry/bed-packing.ts';
import { widestCircle } from '../../geometry/widest-circle.ts';
import { sameBeds } from '../../workshop/book/bed-names.ts';
import { type BedPlace, type BedsRecord, type PieceOutline, SPLICES } from '../../workshop/process/beds-record.ts';

/** The largest bed is drawn so wide or deep, mm: as wide as the narrowest column of a sheet, so that no bed is drawn smaller than the others. */
const LARGEST_MM = 39;

/** Names of drawings and how each is made; all beds at one scale. */
export function drawBeds(beds: BedsRecord): readonly (readonly [string, () => string])[] {
  const used = beds.machines.filter(({ id }) => beds.loads.some(({ machine }) => machine === id));
  const scale = LARGEST_MM / Math.max(...used.map(({ widthMm, depthMm }) => Math.max(widthMm, depthMm)));
  const ways = sameBeds(beds).map((numbers): readonly [string, () => string] => [
    `bed-${numbers[0]}`,
    () => {
      const load = beds.loads[numbers[0]! - 1]!;
      const { widthMm, depthMm } = beds.machines.find(({ id }) => id === load.machine)!;
      const { marginMm, gapMm } = beds;
      const outlines = load.places.map((place) => drawnOutline(place, beds.outlines));
      const title = `Bed ${numbers[0]} from above: ${load.places.map(({ piece }) => piece).join(', ')}`;
      return bedDrawing({ widthMm, depthMm, marginMm, gapMm, outlines }, { scale, title });
    },
  ]);
  return [...ways, ['bed-hours', () => drawnHours(beds)]];
}

function drawnOutline({ piece, turnDeg, atMm: [x, y] }: BedPlace, outlines: readonly PieceOutline[]): DrawnOutline {
  const { loops } = outlines.find((outline) => outline.piece === piece)!;
  const laid = loops.map((loop) => turnedLoop(loop, turnDeg).map((v, i) => v + (i % 2 === 0 ? x : y)));
  const { x: nameX, y: nameY } = widestCircle(laid, NAME_EXACT_MM);
  return { name: piece === SPLICES ? 'splices' : piece, loops: laid, nameAtMm: [nameX, nameY] };
}

/** Its widest place is found so exactly, mm. */
const NAME_EXACT_MM = 1;
const HOUR_S = 3600;
const DAY_S = 86400;

function drawnHours(beds: BedsRecord): string {
  const rows = beds.machines.flatMap(({ id }, index) => {
    const bars = beds.loads.flatMap(({ machine, startsS, endsS }, bed) =>
      machine === id ? [{ name: String(bed + 1), fromS: startsS, toS: endsS }] : [],
    );
    return bars.length === 0 ? [] : [{ label: `machine ${index + 1}`, bars }];
  });
  const fromS = Math.floor(beds.startsS / HOUR_S) * HOUR_S;
  const toS = Math.ceil(beds.endsS / HOUR_S) * HOUR_S;
  const title = 'The hours of the machines, a bar a bed';
  return hoursDrawing(rows, { fromS, toS, nights: nightsOf(beds, toS), title });
}

/** Stretches in which nobody is awake, from before the first day. */
function nightsOf({ wakingFromH, wakingToH }: BedsRecord, toS: number): (readonly [number, number])[] {
  const awakeH = wakingToH > wakingFromH ? wakingToH - wakingFromH : wakingToH - wakingFromH + 24;
  const nights: (readonly [number, number])[] = [];
  if (awakeH >= 24) return nights;
  for (let day = -1; day * DAY_S < toS; day++) {
    const sleepsS = day * DAY_S + (wakingFromH + awakeH) * HOUR_S;
    nights.push([sleepsS, sleepsS + (24 - awakeH) * HOUR_S]);
  }
  return nights;
}
