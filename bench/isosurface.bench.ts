// The demo helm at three sizes, its parts, and meshing against the solid kernel's level set, in one run.
// npx tsx bench/isosurface.bench.ts
import Module from 'manifold-3d';
import { isosurface } from '../src/geometry/isosurface/isosurface.ts';
import { simplifyClosed } from '../src/geometry/simplify.ts';
import { numTris } from '../src/mesh/mesh.ts';
import { surfaceCheck } from '../src/mesh/topology.ts';
import { demoModel } from '../src/workshop/demo/demo.ts';
import { KEEPERS_HELM_BOUNDS, keepersHelm } from '../src/workshop/demo/keepers-helm.ts';

const peakMb = (): number => Math.round(process.resourceUsage().maxRSS / 1024);
const seconds = (run: () => void): number => {
  const from = process.cpuUsage().user;
  run();
  return (process.cpuUsage().user - from) / 1e6;
};

for (const triangles of [20_000, 200_000, 1_000_000, 2_000_000]) {
  const spent = seconds(() => demoModel('keepers-helm', { triangles }));
  console.log(`helm of ${triangles} triangles: ${spent.toFixed(1)} s of processor time, peak ${peakMb()} MB`);
}

let values = 0;
const counted = (x: number, y: number, z: number): number => {
  values++;
  return keepersHelm(x, y, z);
};
let fine = isosurface(counted, { within: KEEPERS_HELM_BOUNDS, cellMm: 1.3 });
const meshing = seconds(() => {
  values = 0;
  fine = isosurface(counted, { within: KEEPERS_HELM_BOUNDS, cellMm: 1.3 });
});
console.log(
  `meshing: ${numTris(fine)} triangles, ${meshing.toFixed(1)} s, ${(values / numTris(fine)).toFixed(1)} values a triangle`,
);

let less = fine;
const simplifying = seconds(() => {
  less = simplifyClosed(fine, { triangles: 200_000 });
});
console.log(`simplify to 200,000: ${simplifying.toFixed(2)} s, manifold ${surfaceCheck(less).manifold}`);

// Both mesh the same field on cells of 2 mm; the peer's grid has two points a cell and snaps to no sharp edge.
const kernel = await Module();
kernel.setup();
const within = KEEPERS_HELM_BOUNDS;
const cellMm = 2;
let ourTris = 0;
const ours = seconds(() => {
  ourTris = numTris(isosurface(keepersHelm, { within, cellMm }));
});
let peerTris = 0;
const peer = seconds(() => {
  const solid = kernel.Manifold.levelSet(
    ([x, y, z]) => -keepersHelm(x, y, z),
    { min: [...within.minMm], max: [...within.maxMm] },
    cellMm,
  );
  peerTris = solid.numTri();
  solid.delete();
});
console.log(
  `2 mm cells: ours ${ours.toFixed(2)} s for ${ourTris} triangles, peer ${peer.toFixed(2)} s for ${peerTris}`,
);
console.log(`ratio a triangle (peer / ours): ${(peer / peerTris / (ours / ourTris)).toFixed(1)}; peak ${peakMb()} MB`);
