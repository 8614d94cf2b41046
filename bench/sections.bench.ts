// Layers of a million-triangle shell: ours against the solid kernel's slice over the same planes, in one run.
// npx tsx bench/sections.bench.ts [numTris] [stepMm]
import { readFileSync } from 'node:fs';
import Module from 'manifold-3d';
import { layerContours } from '../src/geometry/layer-sweep.ts';
import { planeSections } from '../src/geometry/plane-section.ts';
import { bumpyShell } from '../test/support/section-shapes.ts';

const numTris = Number(process.argv[2] ?? 1_000_000);
const stepMm = Number(process.argv[3] ?? 0.2);
const mesh = bumpyShell(numTris);
const ROUNDS = 5;
const options = { firstMm: -149.9, stepMm };
/** Of the processor: on a shared machine the clock on the wall mostly tells who else is working. */
const seconds = (run: () => void): number => {
  const from = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
};
const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]!;
const peakMb = (): number => Math.round(process.resourceUsage().maxRSS / 1024);

let layers = planeSections(mesh, options);
for (const _ of layerContours(mesh, options));
const oursMb = peakMb();
const sum = (values: Float64Array): number => values.reduce((total, value) => total + value, 0);

const kernel = await Module();
kernel.setup();
const { version } = JSON.parse(readFileSync('node_modules/manifold-3d/package.json', 'utf8')) as { version: string };
let solid = kernel.Manifold.cube([1, 1, 1]);
const build = seconds(() => {
  solid = new kernel.Manifold(
    new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(mesh.positions), triVerts: mesh.triangles }),
  );
});
let peerArea = 0;
// in turns, so that what slows the machine slows all three
const rounds = Array.from({ length: ROUNDS }, () => {
  const ours = seconds(() => {
    layers = planeSections(mesh, options);
  });
  const drawn = seconds(() => {
    for (const _ of layerContours(mesh, options));
  });
  peerArea = 0;
  const peer = seconds(() => {
    for (const height of layers.heightsMm) {
      const section = solid.slice(height);
      peerArea += section.area();
      section.delete();
    }
  });
  return { ours, drawn, peer };
});
const [ours, drawn, peer] = (['ours', 'drawn', 'peer'] as const).map((of) => median(rounds.map((one) => one[of]))) as [
  number,
  number,
  number,
];
const ratios = (of: 'ours' | 'drawn'): string => {
  const all = rounds.map((one) => one.peer / one[of]).sort((a, b) => a - b);
  return `${median(all).toFixed(1)} (${all[0]!.toFixed(1)} to ${all.at(-1)!.toFixed(1)})`;
};
const line = (name: string, value: number): void => console.log(name.padEnd(44), value.toFixed(3), 's');
console.log(
  `${mesh.triangles.length / 3} triangles, ${layers.numLayers} layers of ${stepMm} mm; processor seconds, medians of ${ROUNDS} rounds`,
);
line('ours: area, length, loops of every layer', ours);
line('ours: contours of every layer', drawn);
line(`peer: manifold ${version} slice and area`, peer);
line('peer: building the solid', build);
console.log(`ratio, building not counted: ${ratios('ours')}  contours: ${ratios('drawn')}`);
console.log('ratio, building counted:    ', ((peer + build) / ours).toFixed(1));
console.log('areas differ by (relative):', Math.abs(sum(layers.areaMm2) / peerArea - 1).toExponential(1));
console.log('peak MB, ours then both:', oursMb, peakMb());
