// From the bytes of a binary STL to shared vertices: ours beside three's STL loader with the solid kernel's merge, in one run.
// Seconds are processor seconds of this process, the best of three turns taken alternately.
import manifold from 'manifold-3d';
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js';
import { readStl } from '../src/documents/stl/read-stl.ts';
import { writeStl } from '../src/documents/stl/write-stl.ts';
import { uvSphere } from '../src/mesh/builders.ts';
import { meshId } from '../src/mesh/digest.ts';
import { type Mesh, meshOf, numTris, numVerts } from '../src/mesh/mesh.ts';
import { surfaceCheck } from '../src/mesh/topology.ts';
import { weldSoup } from '../src/mesh/weld.ts';

const kernel = await manifold();
kernel.setup();

for (const [name, mesh] of [
  ['in order', uvSphere(130, 500)],
  ['shuffled', shuffled(uvSphere(130, 500))],
] as const) {
  const bytes = writeStl(mesh, { title: 'bench' });
  const ours = least(() => numVerts(readAndWeld(bytes)));
  const peer = least(() => peerReadAndMerge(bytes));
  const welded = readAndWeld(bytes);
  const check = least(() => surfaceCheck(welded).shells);
  const id = least(() => meshId(welded).length);
  console.log(`binary STL of ${numTris(mesh)} triangles, ${name}`);
  console.log(
    `  read and weld: ours ${ours.toFixed(3)} s, peer ${peer.toFixed(3)} s, ratio ${(peer / ours).toFixed(1)}`,
  );
  console.log(`  check of the surface ${check.toFixed(3)} s, content hash ${id.toFixed(3)} s`);
  console.log(
    `  vertices ${numVerts(welded)}, expected ${numVerts(mesh)}; peak ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`,
  );
}

function readAndWeld(bytes: Uint8Array): Mesh {
  const read = readStl(bytes);
  if (!read.ok) throw new Error(read.why);
  return weldSoup(read.value.corners).mesh;
}

function peerReadAndMerge(bytes: Uint8Array): number {
  const { buffer, byteOffset, byteLength } = bytes;
  const geometry = new STLLoader().parse(buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer);
  const vertProperties = geometry.getAttribute('position').array as Float32Array;
  const triVerts = Uint32Array.from({ length: vertProperties.length / 3 }, (_, i) => i);
  const mesh = new kernel.Mesh({ numProp: 3, vertProperties, triVerts });
  mesh.merge();
  return mesh.mergeFromVert.length;
}

function least(run: () => number): number {
  let seconds = Infinity;
  for (let turn = 0; turn < 3; turn++) {
    const before = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(before);
    seconds = Math.min(seconds, (user + system) / 1e6);
  }
  return seconds;
}

function shuffled(mesh: Mesh): Mesh {
  const triangles = mesh.triangles.slice();
  let state = 1;
  for (let i = numTris(mesh) - 1; i > 0; i--) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    const j = state % (i + 1);
    const kept = triangles.slice(i * 3, i * 3 + 3);
    triangles.copyWithin(i * 3, j * 3, j * 3 + 3);
    triangles.set(kept, j * 3);
  }
  return meshOf(mesh.positions, triangles);
}
