// Meshes and results as bytes, for the shelf.
import { deserialize, serialize } from 'node:v8';
import { type Mesh, meshOf } from '../mesh/mesh.ts';

/** uint32 vertex count, uint32 triangle count, positions (float64), triangles (uint32); little-endian. */
export function meshToBytes(mesh: Mesh): Uint8Array {
  const out = new Uint8Array(8 + mesh.positions.byteLength + mesh.triangles.byteLength);
  const view = new DataView(out.buffer);
  view.setUint32(0, mesh.positions.length / 3, true);
  view.setUint32(4, mesh.triangles.length / 3, true);
  out.set(bytesOf(mesh.positions), 8);
  out.set(bytesOf(mesh.triangles), 8 + mesh.positions.byteLength);
  return out;
}

export function meshFromBytes(bytes: Uint8Array): Mesh {
  const view = new DataView(bytes.buffer, bytes.byteOffset, 8);
  const positionBytes = view.getUint32(0, true) * 24;
  const triangleBytes = view.getUint32(4, true) * 12;
  // A copy at the start of a buffer of its own: what a file read returns may be a view into a shared one.
  const own = new Uint8Array(positionBytes + triangleBytes);
  own.set(bytes.subarray(8, 8 + own.length));
  return meshOf(
    new Float64Array(own.buffer, 0, positionBytes / 8),
    new Uint32Array(own.buffer, positionBytes, triangleBytes / 4),
  );
}

/** Plain records with typed arrays, by structured clone. */
export function recordToBytes(record: unknown): Uint8Array {
  return serialize(record);
}

export function recordFromBytes(bytes: Uint8Array): unknown {
  return deserialize(bytes);
}

function bytesOf(array: Float64Array | Uint32Array): Uint8Array {
  return new Uint8Array(array.buffer, array.byteOffset, array.byteLength);
}
