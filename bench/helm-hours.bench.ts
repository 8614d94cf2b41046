// Hours of a full helm as the trade prints it, and how far speeds, settings and wall move them, as a table.
// npx tsx bench/helm-hours.bench.ts [numTris]     No peer: the trade's own figure is a range without a source.
import { QUIET_WORK } from '../src/base/work.ts';
import { moveInnerWall } from '../src/geometry/wall/move-inner-wall.ts';
import { buildBoundingTree } from '../src/mesh/bounding-tree.ts';
import type { Mesh } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { ordinaryMachine } from '../src/workshop/facts/machines.ts';
import { PLA } from '../src/workshop/facts/materials.ts';
import { layOutLayers } from '../src/workshop/printing/layer-lines.ts';
import { printMaterial, printTime } from '../src/workshop/printing/print-time.ts';
import type { PrintSettings } from '../src/workshop/process/print-settings.ts';
import { halvesOnTheirCut, standing, TRADE_PRINT } from '../test/support/trade-helm.ts';

const helm = demoModel('keepers-helm', { triangles: Number(process.argv[2] ?? 50_000) });
const machine = ordinaryMachine([400, 400, 450]);

interface Case {
  readonly name: string;
  readonly print?: Partial<PrintSettings>;
  readonly on?: Partial<typeof machine>;
  readonly mesh?: Mesh;
}

const speeds = [
  'wallSpeedMmS',
  'outerWallSpeedMmS',
  'infillSpeedMmS',
  'closingSpeedMmS',
  'supportSpeedMmS',
  'travelSpeedMmS',
] as const;
const faster = (by: number): Partial<typeof machine> =>
  Object.fromEntries(speeds.map((key) => [key, machine[key] * by]));
const withWall = (wallMm: number): Mesh => moveInnerWall(helm, buildBoundingTree(helm), { kind: 'mm', wallMm }).mesh;

const cases: readonly Case[] = [
  { name: 'trade: 0.3 mm, 3 passes, 10 percent, 65 degrees' },
  { name: '5 percent infill', print: { infillPercent: 5 } },
  { name: '20 percent infill', print: { infillPercent: 20 } },
  { name: '0.2 mm layers', print: { layerMm: 0.2, firstLayerMm: 0.2 } },
  { name: '2 contour passes', print: { contourPasses: 2 } },
  { name: '4 contour passes', print: { contourPasses: 4 } },
  { name: 'wall of 2 mm', mesh: withWall(2) },
  { name: 'wall of 4 mm', mesh: withWall(4) },
  { name: 'limit 45 degrees', print: { overhangLimitDeg: 45 } },
  { name: 'all speeds x 1.5', on: faster(1.5) },
  { name: 'all speeds x 0.67', on: faster(0.67) },
  { name: 'acceleration 500', on: { accelerationMmS2: 500 } },
  { name: 'acceleration 4000', on: { accelerationMmS2: 4000 } },
  { name: 'quick: speeds x 3, 5000 mm/s2, 25 mm3/s', on: { ...faster(3), accelerationMmS2: 5000, maxFlowMm3S: 25 } },
  { name: 'corner deviation 0.05 mm', on: { junctionDeviationMm: 0.05 } },
  { name: 'flow 6 mm3/s', on: { maxFlowMm3S: 6 } },
];

console.log(
  '| the helm | whole, on its neck | with g of support | in two halves on their cut | face half | with g of support |',
);
console.log('|---|---|---|---|---|---|');
for (const { name, print = {}, on = {}, mesh = helm } of cases) {
  const settings = { ...TRADE_PRINT, ...print };
  const timed = (body: Mesh): { hours: number; supportG: number } => {
    const lines = layOutLayers(body, settings, QUIET_WORK);
    const { printS } = printTime(lines, { ...machine, ...on }, settings, QUIET_WORK);
    return { hours: printS / 3600, supportG: printMaterial(lines, settings, PLA).supportG };
  };
  const whole = timed(standing(mesh));
  const { face, back } = await halvesOnTheirCut(mesh);
  const [front, rear] = [timed(face), timed(back)];
  const both = front.hours + rear.hours;
  const cells = [
    name,
    `${whole.hours.toFixed(1)} h`,
    whole.supportG.toFixed(0),
    `${both.toFixed(1)} h`,
    `${front.hours.toFixed(1)} h, ${((100 * front.hours) / both).toFixed(0)} percent`,
    (front.supportG + rear.supportG).toFixed(0),
  ];
  console.log(`| ${cells.join(' | ')} |`);
}
