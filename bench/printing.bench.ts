// Seconds of the Printing chapter's parts on a whole shell, and what a helm takes on an ordinary machine by its settings.
import { existsSync, readFileSync } from 'node:fs';
import { QUIET_WORK } from '../src/base/work.ts';
import { readStl } from '../src/documents/stl/read-stl.ts';
import { closingAreas } from '../src/geometry/closing-areas.ts';
import { layerMeasures } from '../src/geometry/layer-measures.ts';
import { planeSections } from '../src/geometry/plane-section.ts';
import { supportColumns } from '../src/geometry/support-columns.ts';
import { bounds, sizeOf } from '../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../src/mesh/mesh.ts';
import { weldSoup } from '../src/mesh/weld.ts';
import { ordinaryMachine } from '../src/workshop/facts/machines.ts';
import { PLA } from '../src/workshop/facts/materials.ts';
import { computePieces } from '../src/workshop/pieces/pieces.ts';
import { PiecesSettings } from '../src/workshop/pieces/pieces-settings.ts';
import { layOutLayers } from '../src/workshop/printing/layer-lines.ts';
import { printMaterial, printTime } from '../src/workshop/printing/print-time.ts';
import { computePrinting } from '../src/workshop/printing/printing.ts';
import { PrintSettings } from '../src/workshop/process/print-settings.ts';
import type { WearerRecord } from '../src/workshop/process/wearer-record.ts';
import { testKernel } from '../test/support/kernel.ts';

const FILE = '../shared/reference/shell-200k.stl';
if (!existsSync(FILE)) {
  console.log(`${FILE} is not there; nothing measured`);
  process.exit(0);
}
const read = readStl(new Uint8Array(readFileSync(FILE)));
if (!read.ok) throw new Error(read.why);
const shell = standing(weldSoup(read.value.corners).mesh);
const fine = quartered(shell);

const timed = <T>(name: string, run: () => T): T => {
  const start = performance.now();
  const value = run();
  console.log(`${name.padEnd(52)} ${((performance.now() - start) / 1000).toFixed(3)} s`);
  return value;
};

const print = PrintSettings.parse({});
for (const [name, mesh] of [
  ['shell, 204,360 triangles', shell],
  ['quartered, 817,440 triangles', fine],
] as const) {
  console.log(name);
  timed('  plane sections (the peer)', () => planeSections(mesh, { firstMm: 0.1, stepMm: 0.2 }));
  const measures = timed('  layer measures', () => layerMeasures(mesh, { firstMm: 0.2, stepMm: 0.2, mergeMm: 0.0225 }));
  timed('  closing areas', () =>
    closingAreas(mesh, { middleMm: measures.middleMm, numClosing: 4, stepMm: 0.2, edgeMm: 1.35 }),
  );
  timed('  support columns', () => supportColumns(mesh, { limitDeg: 45 }));
  const lines = timed('  all lines', () => layOutLayers(mesh, print, QUIET_WORK));
  timed('  print time', () => printTime(lines, ordinaryMachine([400, 400, 450]), print, QUIET_WORK));
  console.log(`  contour moves ${measures.moves.lengthMm.length}`);
}
console.log('both chapters: pieces of a 220 x 220 x 250 mm bed, then their prints at 0.2 mm');
for (const mesh of [shell, fine]) await inPieces(mesh);
console.log(`peak ${(process.memoryUsage.rss() / 1e6).toFixed(0)} MB`);

const machine = ordinaryMachine([400, 400, 450]);
const trade = { ...print, layerMm: 0.3, firstLayerMm: 0.3, overhangLimitDeg: 65 };
const cases: [string, PrintSettings, typeof machine][] = [
  ['trade: 0.3 mm, 3 passes, 10 %, 65 deg', trade, machine],
  ['5 % infill', { ...trade, infillPercent: 5 }, machine],
  ['2 passes', { ...trade, contourPasses: 2 }, machine],
  ['0.2 mm', { ...trade, layerMm: 0.2, firstLayerMm: 0.2 }, machine],
  ['45 deg', { ...trade, overhangLimitDeg: 45 }, machine],
  ['all speeds x 1.5', trade, faster(1.5)],
  ['all speeds x 0.67', trade, faster(0.67)],
  ['acceleration 500', trade, { ...machine, accelerationMmS2: 500 }],
  ['acceleration 4000', trade, { ...machine, accelerationMmS2: 4000 }],
  ['corner 0.05', trade, { ...machine, junctionDeviationMm: 0.05 }],
];
console.log('the whole shell as levelled, laid on its neck');
for (const [name, settings, on] of cases) {
  const lines = layOutLayers(shell, settings, QUIET_WORK);
  const { printS, seconds } = printTime(lines, on, settings, QUIET_WORK);
  const material = printMaterial(lines, settings, PLA);
  const parts = Object.entries(seconds)
    .map(([part, s]) => `${part} ${(s / 3600).toFixed(1)}`)
    .join(', ');
  console.log(
    `${name.padEnd(40)} ${(printS / 3600).toFixed(1)} h (${parts}); ${material.filamentG.toFixed(0)} + ${material.supportG.toFixed(0)} g`,
  );
}

async function inPieces(mesh: Mesh): Promise<void> {
  const kept = new Map<string, Mesh>([['shell', mesh]]);
  const work = {
    ...QUIET_WORK,
    solid: await testKernel(),
    meshes: {
      get: (id: string) => kept.get(id)!,
      put: (made: Mesh) => {
        const id = `mesh-${kept.size}`;
        kept.set(id, made);
        return id;
      },
    },
  };
  const small = ordinaryMachine([220, 220, 250]);
  const wearer: WearerRecord = {
    kind: 'wearer',
    version: 2,
    mesh: 'shell',
    scale: 1,
    sizeMm: sizeOf(bounds(mesh)),
    volumeMm3: 0,
    areaMm2: 0,
    wallMm: 3,
    wallKept: false,
    symmetry: null,
    girth: null,
  };
  const choices = PiecesSettings.parse({ beds: [{ id: small.id, bedMm: small.bedMm }] });
  const pieces = timed('  pieces', () => computePieces({ wearer }, choices, work));
  if (!pieces.ok) return console.log(pieces.why);
  const settings = { print, machines: [small], material: PLA };
  const printing = timed('  printing', () =>
    computePrinting({ joints: { ...pieces.value, joints: [], loose: [] } }, settings, work),
  );
  if (!printing.ok) return console.log(printing.why);
  for (const one of printing.value.prints)
    console.log(
      `    ${one.piece} ${one.lies.padEnd(12)} ${(one.printS / 3600).toFixed(1)} h, ${one.filamentG.toFixed(0)} + ${one.supportG.toFixed(0)} g`,
    );
  console.log(
    `    together ${(printing.value.totals.printS / 3600).toFixed(1)} h; findings ${printing.findings.map((f) => f.code).join(' ')}`,
  );
}

function faster(by: number): typeof machine {
  const scaled = { ...machine };
  for (const key of [
    'wallSpeedMmS',
    'outerWallSpeedMmS',
    'infillSpeedMmS',
    'closingSpeedMmS',
    'supportSpeedMmS',
    'travelSpeedMmS',
  ] as const)
    scaled[key] *= by;
  return scaled;
}

function standing(mesh: Mesh): Mesh {
  const [x, y, z] = bounds(mesh).minMm;
  const shift = [x, y, z];
  return meshOf(
    mesh.positions.map((v, i) => v - shift[i % 3]!),
    mesh.triangles,
  );
}

/** Each triangle in four by the middles of its edges. */
function quartered(mesh: Mesh): Mesh {
  const soup = new Float64Array(mesh.triangles.length * 12);
  let at = 0;
  const p = mesh.positions;
  const push = (v: readonly number[]): void => {
    for (let k = 0; k < 3; k++) soup[at++] = v[k]!;
  };
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corner = [0, 1, 2].map((c) => {
      const v = mesh.triangles[t + c]! * 3;
      return [p[v]!, p[v + 1]!, p[v + 2]!];
    });
    const middle = (a: number, b: number): number[] => [0, 1, 2].map((k) => (corner[a]![k]! + corner[b]![k]!) / 2);
    const [ab, bc, ca] = [middle(0, 1), middle(1, 2), middle(2, 0)];
    for (const v of [corner[0]!, ab, ca, ab, corner[1]!, bc, ca, bc, corner[2]!, ab, bc, ca]) push(v);
  }
  return weldSoup(soup).mesh;
}
