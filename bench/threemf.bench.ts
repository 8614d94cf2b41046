// Writing and reading 3MF at a million triangles; the peer for unpacking and packing is Node's zlib, in the same run.
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import { readThreemf } from '../src/documents/threemf/read-threemf.ts';
import { writeThreemf } from '../src/documents/threemf/write-threemf.ts';
import { listZip, unpackEntry } from '../src/documents/zip/read-zip.ts';
import { meshOf } from '../src/mesh/mesh.ts';

const mesh = gridMesh(707);
const pieces = [{ name: 'grid', mesh }];
const stored = (bytes: Uint8Array) => bytes.slice();
const native = (bytes: Uint8Array) => deflateRawSync(bytes, { level: 1 });
const file = writeThreemf(pieces);
const model = modelBytes();
const packed = deflateRawSync(model);

console.log(`triangles ${mesh.triangles.length / 3}, xml ${mb(model.length)}, file ${mb(file.length)}`);
report(
  'write, xml only',
  best(() => writeThreemf(pieces, { deflate: stored })),
  null,
);
report(
  'write, plain or native deflate',
  best(() => writeThreemf(pieces)),
  best(() => writeThreemf(pieces, { deflate: native })),
);
report(
  'unpack, plain or native inflate',
  best(unpackModel),
  best(() => inflateRawSync(packed)),
);
report(
  'read',
  best(() => readThreemf(file)),
  null,
);

function modelBytes(): Uint8Array {
  const unpacked = unpackModel();
  return unpacked.ok ? unpacked.value : new Uint8Array();
}

function unpackModel() {
  const listed = listZip(file);
  if (!listed.ok) throw new Error(listed.why);
  return unpackEntry(file, listed.value[2]!);
}

function mb(bytes: number): string {
  return `${(bytes / 1e6).toFixed(1)} MB`;
}

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
      positions.set([i * 0.37 + 0.01 * Math.sin(j), j * 0.41, 9 * Math.sin(i * 0.05) * Math.cos(j * 0.03)], v);
  for (let j = 0, k = 0; j < n; j++)
    for (let i = 0; i < n; i++, k += 6) {
      const a = j * (n + 1) + i;
      triangles.set([a, a + 1, a + n + 2, a, a + n + 2, a + n + 1], k);
    }
  return meshOf(positions, triangles);
}
