// The search for a division without exact cutting: wall seconds of samples, exposure, search and settling, and candidate planes a second.
// npx tsx bench/search.bench.ts [--threads N] [numTris ...]     threads: those that take part, the engine's own among them
// There is no peer among the packages: the published method of division is measured in bench/seams.bench.ts, by its result.
import { availableParallelism } from 'node:os';
import { parseArgs } from 'node:util';
import { crewSize } from '../src/app/worker/crew.ts';
import { QUIET_WORK, type Work } from '../src/base/work.ts';
import { numTris } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { NOTHING_ASKED } from '../src/workshop/pieces/asked/asked-at-size.ts';
import { PiecesSettings } from '../src/workshop/pieces/pieces-settings.ts';
import { findDivisions } from '../src/workshop/pieces/search/find-divisions.ts';
import { sampledShell, taskOf } from '../src/workshop/pieces/search/shell-task.ts';
import { builtCrew } from '../test/support/crew.ts';

const BEDS = [
  [180, 180, 180],
  [220, 220, 250],
] as const;

const { values, positionals } = parseArgs({ options: { threads: { type: 'string' } }, allowPositionals: true });
const sizes = positionals.length > 0 ? positionals.map(Number) : [200_000, 1_000_000];
const numThreads = values.threads === undefined ? 1 + crewSize(availableParallelism()) : Number(values.threads);
const built = builtCrew();
const work: Work = numThreads > 1 ? { ...QUIET_WORK, crew: built.open(numThreads - 1) } : QUIET_WORK;

/** Wall seconds, and seconds of all processors: on a shared machine the second tell what was done, the first what was waited. */
function measured<T>(run: () => T): { value: T; wallS: number; ownS: number } {
  const wall = performance.now();
  const own = process.cpuUsage();
  const value = run();
  const { user, system } = process.cpuUsage(own);
  return { value, wallS: (performance.now() - wall) / 1000, ownS: (user + system) / 1e6 };
}

console.log(`${numThreads} of ${availableParallelism()} processors take part; the crew starts with the first row`);
console.log(
  'triangles | bed | samples and price s | search and settling s | together s | processor s | planes | planes a second | pieces',
);
for (const triangles of sizes) {
  const made = demoModel('keepers-helm', { triangles });
  // the demo's file faces +y; model space faces -y
  const mesh = { ...made, positions: made.positions.map((v, i) => (i % 3 === 2 ? v : -v)) };
  for (const bedMm of BEDS) {
    const settings = {
      ...PiecesSettings.parse({ beds: [{ id: 'bed', bedMm }] }),
      demands: NOTHING_ASKED,
      scale: 1,
    };
    const sampled = measured(() => {
      const shell = sampledShell(mesh, settings, work);
      return taskOf(shell, { normal: [1, 0, 0], offsetMm: 0 }, settings);
    });
    const found = measured(() => findDivisions(sampled.value, work));
    const { best, planesTried } = found.value;
    const row = [
      numTris(mesh),
      bedMm.join(' x '),
      sampled.wallS.toFixed(1),
      found.wallS.toFixed(1),
      (sampled.wallS + found.wallS).toFixed(1),
      (sampled.ownS + found.ownS).toFixed(1),
      planesTried,
      Math.round(planesTried / found.wallS),
      `${best.fewest[0]!.leaves.length}, ${best.hidden[0]!.leaves.length}, ${best.quickest[0]!.leaves.length}`,
    ];
    console.log(row.join(' | '));
  }
}
built.close();
