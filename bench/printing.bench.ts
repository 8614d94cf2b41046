// Seconds of the Printing chapter's parts on a whole shell, and of the whole chapter on the pieces of a helm.
// npx tsx bench/printing.bench.ts [numTris of the helm]     Hours by settings: bench/helm-hours.bench.ts
import { existsSync, readFileSync } from 'node:fs';
import type { Outcome } from '../src/base/findings.ts';
import { QUIET_WORK } from '../src/base/work.ts';
import { readStl } from '../src/documents/stl/read-stl.ts';
import { closingAreas } from '../src/geometry/closing-areas.ts';
import { layerMeasures } from '../src/geometry/layer-measures.ts';
import { planeSections } from '../src/geometry/plane-section.ts';
import { supportColumns } from '../src/geometry/support-columns.ts';
import { bounds } from '../src/mesh/measure.ts';
import { memoryMeshStore } from '../src/mesh/memory-mesh-store.ts';
import { type Mesh, meshOf } from '../src/mesh/mesh.ts';
import { weldSoup } from '../src/mesh/weld.ts';
import type { ChapterName } from '../src/workshop/book/book-text.ts';
import { newBuild } from '../src/workshop/book/build-file.ts';
import type { Records } from '../src/workshop/book/chapter.ts';
import { runBook } from '../src/workshop/book/graph.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { ordinaryMachine } from '../src/workshop/facts/machines.ts';
import { layOutLayers } from '../src/workshop/printing/layer-lines.ts';
import { printTime } from '../src/workshop/printing/print-time.ts';
import { PrintSettings } from '../src/workshop/process/print-settings.ts';
import { builtCrew } from '../test/support/crew.ts';
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

/** Wall seconds count for the maker, seconds of all processors for the program: others may share the machine. */
const timed = <T>(name: string, run: () => T): T => {
  const wall = performance.now();
  const own = process.cpuUsage();
  const value = run();
  const { user, system } = process.cpuUsage(own);
  const [wallS, ownS] = [(performance.now() - wall) / 1000, (user + system) / 1e6];
  console.log(`${name.padEnd(52)} ${wallS.toFixed(2)} s, of processors ${ownS.toFixed(2)} s`);
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
const numTriangles = Number(process.argv[2] ?? 1_000_000);
console.log(`the helm of ${numTriangles} triangles, in pieces with keys for a 220 x 220 x 250 mm bed`);
const built = builtCrew();
await helmInPieces(numTriangles);
built.close();
console.log(`peak ${(process.memoryUsage.rss() / 1e6).toFixed(0)} MB`);

async function helmInPieces(triangles: number): Promise<void> {
  const meshes = memoryMeshStore();
  const build = newBuild({ name: 'helm', file: 'helm.stl', sha256: '0'.repeat(64) });
  const solid = await testKernel();
  const source = { mesh: meshes.put(demoModel('keepers-helm', { triangles })) };
  const known = new Map<string, Outcome<Records[ChapterName]>>();
  const run = (
    last: ChapterName,
    threads: number,
    keep: (key: string, outcome: Outcome<Records[ChapterName]>) => void,
  ) =>
    runBook(
      build,
      source,
      { ...QUIET_WORK, meshes, solid, ...(threads > 1 ? { crew: built.open(threads - 1) } : {}) },
      { results: { get: (key) => known.get(key), put: keep }, hooks: { begun: () => {}, known: () => {} }, last },
    );
  timed('  all up to the keys', () => run('joints', 2, (key, outcome) => void known.set(key, outcome)));
  for (const threads of [1, 2, 2]) {
    const { printing } = timed(`  printing, threads: ${threads}`, () => run('printing', threads, () => {}));
    if (printing.state !== 'computed') throw new Error(JSON.stringify(printing));
    if (threads > 1) continue;
    for (const one of printing.record.prints)
      console.log(
        `    ${one.piece} ${one.lies.padEnd(12)} ${(one.printS / 3600).toFixed(1)} h, ${one.filamentG.toFixed(0)} + ${one.supportG.toFixed(0)} g`,
      );
    console.log(`    together ${(printing.record.totals.printS / 3600).toFixed(1)} h`);
  }
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
