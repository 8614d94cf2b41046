// Winding numbers at a million triangles: fast beside exact on the same points, answers compared, in one run.
// npx tsx bench/winding.bench.ts
import { randomStream } from '../src/base/random.ts';
import { buildWindingTree, windingExact, windingFastMany } from '../src/geometry/winding/winding-number.ts';
import { buildBoundingTree } from '../src/mesh/bounding-tree.ts';
import { uvSphere } from '../src/mesh/builders.ts';
import { numTris } from '../src/mesh/mesh.ts';

const RADIUS_MM = 130;
const NUM_FAST = 20_000;
const NUM_EXACT = 30;

const seconds = (run: () => void): number => {
  const before = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
};

const mesh = uvSphere(RADIUS_MM, 500);
const random = randomStream(1);
const points = Float64Array.from({ length: NUM_FAST * 3 }, () => RADIUS_MM * 1.3 * (2 * random() - 1));
const few = points.slice(0, NUM_EXACT * 3);
const tree = buildBoundingTree(mesh);
let exactValues: Float64Array = new Float64Array(0);
const exact = seconds(() => {
  exactValues = windingExact(mesh, few);
});
console.log(`${numTris(mesh)} triangles; exact ${((exact / NUM_EXACT) * 1e6).toFixed(0)} us a point`);
for (const beta of [2, 2.5, 3.2]) {
  let winding = buildWindingTree(tree, { beta });
  const build = seconds(() => {
    winding = buildWindingTree(tree, { beta });
  });
  windingFastMany(winding, few);
  const fast = seconds(() => void windingFastMany(winding, points));
  const miss = windingFastMany(winding, few).reduce((most, w, i) => Math.max(most, Math.abs(w - exactValues[i]!)), 0);
  console.log(
    `  beta ${beta}: built in ${build.toFixed(2)} s, ${((fast / NUM_FAST) * 1e6).toFixed(1)} us a point, ratio ${(exact / NUM_EXACT / (fast / NUM_FAST)).toFixed(0)}, largest difference ${miss.toExponential(1)}`,
  );
}
console.log(`  peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
