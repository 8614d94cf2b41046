// Cutting a million-triangle shell in two: ours against the solid kernel's splitByPlane, in one run.
// npx tsx bench/split.bench.ts [numTris]
import { readFileSync } from 'node:fs';
import Module from 'manifold-3d';
import { planeAwayFromVerts } from '../src/geometry/plane-away.ts';
import { type PlaneSplit, splitByPlane } from '../src/geometry/plane-split.ts';
import { roundToSingle } from '../src/geometry/round-to-single.ts';
import { testKernel } from '../test/support/kernel.ts';
import { bumpyShell, volumeOf } from '../test/support/section-shapes.ts';

const mesh = bumpyShell(Number(process.argv[2] ?? 1_000_000));
const plane = { normal: [0.48, 0.6, 0.64] as const, offsetMm: 12.3 };
const seconds = (run: () => void): number => {
  const from = performance.now();
  run();
  return (performance.now() - from) / 1000;
};
/** The least of six runs: the machine may be shared, and the first runs are compiled on the way. */
const best = (run: () => void): number => Math.min(...Array.from({ length: 6 }, () => seconds(run)));
const peakMb = (): number => Math.round(process.resourceUsage().maxRSS / 1024);

const { triangulate } = await testKernel();
let cut: PlaneSplit | undefined;
const ours = best(() => {
  const made = splitByPlane(mesh, plane, { triangulate });
  if (!made.ok) throw new Error(made.why);
  cut = made.value;
});
const away = best(() => {
  planeAwayFromVerts(mesh, plane, 0.2);
});
const rounded = best(() => {
  roundToSingle(cut!.below.mesh);
  roundToSingle(cut!.above.mesh);
});
const oursMb = peakMb();

const kernel = await Module();
kernel.setup();
const { version } = JSON.parse(readFileSync('node_modules/manifold-3d/package.json', 'utf8')) as { version: string };
let solid = kernel.Manifold.cube([1, 1, 1]);
const build = seconds(() => {
  solid = new kernel.Manifold(
    new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(mesh.positions), triVerts: mesh.triangles }),
  );
});
let halves = solid.splitByPlane([...plane.normal], plane.offsetMm);
const split = best(() => {
  for (const half of halves) half.delete();
  halves = solid.splitByPlane([...plane.normal], plane.offsetMm);
  for (const half of halves) half.numTri();
});
const read = seconds(() => {
  for (const half of halves) half.getMesh();
});
const line = (name: string, value: number): void => console.log(name.padEnd(44), value.toFixed(3), 's');
console.log(`${mesh.triangles.length / 3} triangles, ${cut!.caps.length} cut faces`);
line('ours: both closed sides with provenance', ours);
line('ours: keeping away from vertices, apart', away);
line('ours: rounding both sides for files, apart', rounded);
line(`peer: manifold ${version} splitByPlane`, split);
line('peer: reading both meshes', read);
line('peer: building the solid', build);
console.log('ratio, split alone:                     ', (split / ours).toFixed(1));
console.log('ratio, split and reading the meshes:    ', ((split + read) / ours).toFixed(1));
console.log('ratio, with building the solid as well: ', ((split + read + build) / ours).toFixed(1));
const gap = Math.abs(volumeOf(cut!.above.mesh) / halves[0].volume() - 1);
console.log('volumes above differ by (relative):     ', gap.toExponential(1));
console.log('peak MB, ours then both:', oursMb, peakMb());
