// Reading and writing STL at a million triangles, beside the STL loader of three in the same run.
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js';
import { readStl } from '../src/documents/stl/read-stl.ts';
import { writeStl } from '../src/documents/stl/write-stl.ts';
import { meshOf } from '../src/mesh/mesh.ts';

const mesh = gridMesh(707);
const numTriangles = mesh.triangles.length / 3;
const binary = writeStl(mesh, { title: 'bench' });
const text = new TextEncoder().encode(asciiOf());
const loader = new STLLoader();

console.log(`triangles ${numTriangles}`);
report(
  'write binary',
  best(() => writeStl(mesh, { title: 'bench' })),
  null,
);
report(
  'read binary',
  best(() => readStl(binary)),
  best(() => loader.parse(binary.buffer)),
);
report(
  'read ascii',
  best(() => readStl(text)),
  best(() => loader.parse(text.buffer as ArrayBuffer)),
);

function report(what: string, ours: number, peer: number | null): void {
  const peak = Math.round(process.resourceUsage().maxRSS / 1024);
  console.log(
    `${what}: ours ${ours.toFixed(0)} ms, ${peer === null ? 'no peer' : `peer ${peer.toFixed(0)} ms, ratio ${(ours / peer).toFixed(2)}`}, peak ${peak} MB`,
  );
}

function best(run: () => unknown): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 3; i++) {
    const start = performance.now();
    run();
    least = Math.min(least, performance.now() - start);
  }
  return least;
}

function gridMesh(n: number) {
  const positions = new Float64Array((n + 1) * (n + 1) * 3);
  const triangles = new Uint32Array(n * n * 6);
  for (let j = 0, v = 0; j <= n; j++)
    for (let i = 0; i <= n; i++, v += 3)
      positions.set([i * 0.37, j * 0.41, 9 * Math.sin(i * 0.05) * Math.cos(j * 0.03)], v);
  for (let j = 0, k = 0; j < n; j++)
    for (let i = 0; i < n; i++, k += 6) {
      const a = j * (n + 1) + i;
      triangles.set([a, a + 1, a + n + 2, a, a + n + 2, a + n + 1], k);
    }
  return meshOf(positions, triangles);
}

function asciiOf(): string {
  const lines: string[] = ['solid bench'];
  const p = Float32Array.from(mesh.positions);
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    lines.push('facet normal 0 0 1\nouter loop');
    for (let k = 0; k < 3; k++) {
      const v = mesh.triangles[t + k]! * 3;
      lines.push(`vertex ${p[v]!.toPrecision(7)} ${p[v + 1]!.toPrecision(7)} ${p[v + 2]!.toExponential(6)}`);
    }
    lines.push('endloop\nendfacet');
  }
  lines.push('endsolid bench');
  return lines.join('\n');
}
