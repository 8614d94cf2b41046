// Two demo helms on beds of several sizes: beds filled by outlines against rectangles on shelves, in one run; and plans for one to twenty copies.
// npx tsx bench/beds.bench.ts
import { LAYING_CELL_MM, type LayableOutline, layableOutline, packBed } from '../src/geometry/bed-packing.ts';
import { shadowOutline } from '../src/geometry/shadow-outline.ts';
import { bounds, sizeOf } from '../src/mesh/measure.ts';
import { computeBeds } from '../src/workshop/beds/beds.ts';
import { ordinaryMachine } from '../src/workshop/facts/machines.ts';
import { shelfBeds } from '../test/support/beds/shelf-packing.ts';
import { bedsCase, helmPieces } from '../test/support/beds/two-helms.ts';

const GAP_MM = 5;
const MARGIN_MM = 5;
const laid = helmPieces();
const twice = [...laid, ...laid];
const rectangles = twice.map((mesh) => sizeOf(bounds(mesh))).map(([wideMm, deepMm]) => ({ wideMm, deepMm }));
const seconds = (since: number): string => `${((performance.now() - since) / 1000).toFixed(2)} s`;

const outlining = performance.now();
const outlines = twice.map((mesh) =>
  layableOutline(shadowOutline(mesh), [0, 90, 180, 270], { gapMm: GAP_MM, cellMm: LAYING_CELL_MM }),
);
console.log('12 outlines in', seconds(outlining));
for (const side of [300, 330, 360, 400, 420, 500]) {
  const bed = { widthMm: side - 2 * MARGIN_MM, depthMm: side - 2 * MARGIN_MM };
  const from = performance.now();
  const beds: LayableOutline[][] = [];
  for (const outline of [...outlines].sort((one, other) => other.cells - one.cells)) {
    const roomy = beds.find((each) => packBed([...each, outline], bed, { cellMm: LAYING_CELL_MM }) !== null);
    if (roomy === undefined) beds.push([outline]);
    else roomy.push(outline);
  }
  console.log(
    `bed ${side} mm: ${beds.length} by outline in ${seconds(from)}, ${shelfBeds(rectangles, bed, GAP_MM)} on shelves`,
  );
}
const machines = [
  ordinaryMachine([300, 300, 400]),
  ordinaryMachine([420, 420, 400]),
  { ...ordinaryMachine([300, 300, 400]), id: 'third' },
];
for (const copies of [1, 2, 4, 20]) {
  const { inputs, settings, work } = bedsCase(laid, machines, { copies });
  const from = performance.now();
  const planned = computeBeds(inputs, settings, work);
  if (!planned.ok) throw new Error(planned.why);
  const { found, loads, endsS, startsS } = planned.value;
  console.log(
    `${copies} copies: ${loads.length} beds, ${((endsS - startsS) / 3600).toFixed(1)} h (${found}) in ${seconds(from)}`,
  );
}
console.log('peak MB', Math.round(process.resourceUsage().maxRSS / 1024));
