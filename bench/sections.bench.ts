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
const options = { firstMm: -149.9, stepMm };
const seconds = (run: () => void): number => {
  const from = performance.now();
  run();
  return (performance.now() - from) / 1000;
};
const best = (run: () => void): number => Math.min(seconds(run), seconds(run), seconds(run));
const peakMb = (): number => Math.round(process.resourceUsage().maxRSS / 1024);

let layers = planeSections(mesh, options);
const ours = best(() => {
  layers = planeSections(mesh, options);
});
const drawn = best(() => {
  for (const _ of layerContours(mesh, options));
});
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
const peer = seconds(() => {
  for (const height of layers.heightsMm) {
    const section = solid.slice(height);
    peerArea += section.area();
    section.delete();
  }
});
const line = (name: string, value: number): void => console.log(name.padEnd(44), value.toFixed(3), 's');
console.log(`${mesh.triangles.length / 3} triangles, ${layers.numLayers} layers of ${stepMm} mm`);
line('ours: area, length, loops of every layer', ours);
line('ours: contours of every layer', drawn);
line(`peer: manifold ${version} slice and area`, peer);
line('peer: building the solid', build);
console.log('ratio, building not counted:', (peer / ours).toFixed(1), ' contours:', (peer / drawn).toFixed(1));
console.log('ratio, building counted:    ', ((peer + build) / ours).toFixed(1));
console.log('areas differ by (relative):', Math.abs(sum(layers.areaMm2) / peerArea - 1).toExponential(1));
console.log('peak MB, ours then both:', oursMb, peakMb());
