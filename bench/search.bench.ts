// The search for a division without exact cutting: seconds of samples, exposure, search and settling, and candidate planes a second.
// npx tsx bench/search.bench.ts [numTris ...]
// There is no peer among the packages: the published method of division is measured in bench/seams.bench.ts, by its result.
import { QUIET_WORK } from '../src/base/work.ts';
import { numTris } from '../src/mesh/mesh.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { NOTHING_ASKED } from '../src/workshop/pieces/asked/asked-at-size.ts';
import { PiecesSettings } from '../src/workshop/pieces/pieces-settings.ts';
import { findDivisions } from '../src/workshop/pieces/search/find-divisions.ts';
import { sampledShell, taskOf } from '../src/workshop/pieces/search/shell-task.ts';

const BEDS = [
  [180, 180, 180],
  [220, 220, 250],
] as const;

const sizes = process.argv.length > 2 ? process.argv.slice(2).map(Number) : [200_000, 1_000_000];

/** Wall seconds, and seconds of the processor: on a shared machine the second tell more. */
function measured<T>(run: () => T): { value: T; wallS: number; ownS: number } {
  const wall = performance.now();
  const own = process.cpuUsage();
  const value = run();
  const { user, system } = process.cpuUsage(own);
  return { value, wallS: (performance.now() - wall) / 1000, ownS: (user + system) / 1e6 };
}

console.log(
  'triangles | bed | sampling and exposure s | search and settling s | together s (wall) | planes | planes a second | pieces',
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
    const sampled = measured(() => sampledShell(mesh, settings, QUIET_WORK));
    const task = taskOf(sampled.value, { normal: [1, 0, 0], offsetMm: 0 }, settings);
    const found = measured(() => findDivisions(task, settings.proposal, QUIET_WORK));
    const { best, planesTried } = found.value;
    const row = [
      numTris(mesh),
      bedMm.join(' x '),
      sampled.ownS.toFixed(1),
      found.ownS.toFixed(1),
      `${(sampled.ownS + found.ownS).toFixed(1)} (${(sampled.wallS + found.wallS).toFixed(1)})`,
      planesTried,
      Math.round(planesTried / found.ownS),
      `${best.fewest[0]!.leaves.length}, ${best.hidden[0]!.leaves.length}, ${best.quickest[0]!.leaves.length}`,
    ];
    console.log(row.join(' | '));
  }
}
