// Reading OBJ, PLY, glTF and OFF at a million triangles, beside the loaders of three in the same run.
import type { Mesh as SceneMesh } from 'three';
import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js';
import { OBJLoader } from 'three/examples/jsm/loaders/OBJLoader.js';
import { PLYLoader } from 'three/examples/jsm/loaders/PLYLoader.js';
import { readGltf } from '../src/documents/gltf/read-gltf.ts';
import { readObj } from '../src/documents/obj/read-obj.ts';
import { readOff } from '../src/documents/off/read-off.ts';
import { readPly } from '../src/documents/ply/read-ply.ts';
import { readModel } from '../src/documents/read-model.ts';
import { type Mesh, meshOf } from '../src/mesh/mesh.ts';

const SIDE = 707;
const mesh = gridMesh(SIDE);
const numTriangles = mesh.triangles.length / 3;
console.log(`triangles ${numTriangles}`);

const encode = (text: string) => new TextEncoder().encode(text);
const decode = (bytes: Uint8Array) => new TextDecoder().decode(bytes);

const obj = encode(objOf(mesh, 1));
await report(
  'OBJ',
  obj,
  () => readObj(obj),
  () => new OBJLoader().parse(decode(obj)),
);
const quads = encode(objOf(mesh, 2));
await report(
  'OBJ of quads',
  quads,
  () => readObj(quads),
  () => new OBJLoader().parse(decode(quads)),
);
const plyText = encode(plyTextOf(mesh));
await report(
  'text PLY',
  plyText,
  () => readPly(plyText),
  () => new PLYLoader().parse(decode(plyText)),
);
const ply = plyOf(mesh);
await report(
  'binary PLY',
  ply,
  () => readPly(ply),
  () => new PLYLoader().parse(ply.buffer as ArrayBuffer),
);
const glb = glbOf(mesh);
await report(
  'binary glTF',
  glb,
  () => readGltf(glb),
  () => threePlaced(glb),
);
const off = encode(offOf(mesh));
await report('OFF', off, () => readOff(off), null);
await report('OBJ to a welded model', obj, () => readModel(obj), null);

async function report(
  what: string,
  file: Uint8Array,
  ours: () => unknown,
  peer: (() => unknown) | null,
): Promise<void> {
  const mine = await best(ours);
  const theirs = peer === null ? null : await best(peer);
  const ratio = theirs === null ? 'no peer' : `peer ${theirs.toFixed(0)} ms, ratio ${(mine / theirs).toFixed(2)}`;
  const peak = Math.round(process.resourceUsage().maxRSS / 1024);
  console.log(`${what} (${(file.length / 1e6).toFixed(0)} MB): ours ${mine.toFixed(0)} ms, ${ratio}, peak ${peak} MB`);
}

async function best(run: () => unknown): Promise<number> {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 3; i++) {
    const start = performance.now();
    await run();
    least = Math.min(least, performance.now() - start);
  }
  return least;
}

/** Read and placed, as ours are; the loader alone only lays views over the file. */
function threePlaced(bytes: Uint8Array): Promise<unknown> {
  return new Promise((resolve, reject) => {
    new GLTFLoader().parse(
      bytes.buffer as ArrayBuffer,
      '',
      ({ scene }) => {
        scene.updateMatrixWorld();
        const placed: unknown[] = [];
        scene.traverse((node) => {
          const { geometry } = node as SceneMesh;
          if (geometry !== undefined) placed.push(geometry.clone().applyMatrix4(node.matrixWorld));
        });
        resolve(placed);
      },
      reject,
    );
  });
}

function gridMesh(n: number): Mesh {
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

function vertexLines(m: Mesh, start: string): string[] {
  const lines: string[] = [];
  for (let v = 0; v < m.positions.length; v += 3)
    lines.push(`${start}${[0, 1, 2].map((c) => m.positions[v + c]!.toFixed(6)).join(' ')}`);
  return lines;
}

/** `step` 2 writes pairs of triangles as quads. */
function objOf(m: Mesh, step: 1 | 2): string {
  const lines = vertexLines(m, 'v ');
  const corner = (k: number) => `${m.triangles[k]! + 1}/${m.triangles[k]! + 1}`;
  for (let k = 0; k < m.triangles.length; k += 3 * step)
    lines.push(`f ${(step === 1 ? [k, k + 1, k + 2] : [k, k + 1, k + 2, k + 5]).map(corner).join(' ')}`);
  return lines.join('\n');
}

function faceLines(m: Mesh): string[] {
  const lines: string[] = [];
  for (let k = 0; k < m.triangles.length; k += 3)
    lines.push(`3 ${m.triangles[k]} ${m.triangles[k + 1]} ${m.triangles[k + 2]}`);
  return lines;
}

function plyHeader(m: Mesh, format: string): string {
  return `ply\nformat ${format} 1.0\nelement vertex ${m.positions.length / 3}\nproperty float x\nproperty float y\nproperty float z\nelement face ${m.triangles.length / 3}\nproperty list uchar int vertex_indices\nend_header\n`;
}

function plyTextOf(m: Mesh): string {
  return `${plyHeader(m, 'ascii')}${[...vertexLines(m, ''), ...faceLines(m)].join('\n')}\n`;
}

function offOf(m: Mesh): string {
  const counts = `OFF\n${m.positions.length / 3} ${m.triangles.length / 3} 0\n`;
  return `${counts}${[...vertexLines(m, ''), ...faceLines(m)].join('\n')}\n`;
}

function plyOf(m: Mesh): Uint8Array {
  const header = encode(plyHeader(m, 'binary_little_endian'));
  const bytes = new Uint8Array(header.length + m.positions.length * 4 + (m.triangles.length / 3) * 13);
  bytes.set(header);
  const view = new DataView(bytes.buffer);
  let at = header.length;
  for (const v of m.positions) {
    view.setFloat32(at, v, true);
    at += 4;
  }
  for (let k = 0; k < m.triangles.length; k++) {
    if (k % 3 === 0) view.setUint8(at++, 3);
    view.setInt32(at, m.triangles[k]!, true);
    at += 4;
  }
  return bytes;
}

function glbOf(m: Mesh): Uint8Array {
  const positions = Float32Array.from(m.positions);
  const numBytes = positions.byteLength + m.triangles.byteLength;
  const json = JSON.stringify({
    asset: { version: '2.0' },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes: [{ mesh: 0, scale: [0.001, 0.001, 0.001] }],
    meshes: [{ primitives: [{ attributes: { POSITION: 0 }, indices: 1 }] }],
    accessors: [
      {
        bufferView: 0,
        componentType: 5126,
        count: positions.length / 3,
        type: 'VEC3',
        min: [0, 0, -9],
        max: [262, 290, 9],
      },
      { bufferView: 1, componentType: 5125, count: m.triangles.length, type: 'SCALAR' },
    ],
    bufferViews: [
      { buffer: 0, byteLength: positions.byteLength },
      { buffer: 0, byteOffset: positions.byteLength, byteLength: m.triangles.byteLength },
    ],
    buffers: [{ byteLength: numBytes }],
  });
  const text = encode(json.padEnd(Math.ceil(json.length / 4) * 4));
  const bytes = new Uint8Array(28 + text.length + numBytes);
  const view = new DataView(bytes.buffer);
  const words = [0x46546c67, 2, bytes.length, text.length, 0x4e4f534a];
  for (const [i, word] of words.entries()) view.setUint32(i * 4, word, true);
  bytes.set(text, 20);
  view.setUint32(20 + text.length, numBytes, true);
  view.setUint32(24 + text.length, 0x004e4942, true);
  bytes.set(new Uint8Array(positions.buffer), 28 + text.length);
  bytes.set(new Uint8Array(m.triangles.buffer), 28 + text.length + positions.byteLength);
  return bytes;
}
