// Writes a mesh as binary STL: the file every printing program reads.
import { invariant } from '../../base/invariant.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import { STL_FACET_BYTES, STL_HEADER_BYTES } from './stl-soup.ts';

export interface StlWriteOptions {
  /** Goes into the 80-byte header, cut to 80 characters; letters outside ASCII become "?". */
  readonly title: string;
}

export const STL_WRITE_DEFAULTS: StlWriteOptions = { title: 'helmwright piece, mm' };

/** Binary STL, little-endian, in the units of the mesh (mm): 84 + 50 n bytes. Coordinates are rounded to single precision;
 *  normals are computed from the rounded corners, 0 0 0 for a triangle without area. The same mesh and title give the same bytes.
 *  A title that begins with "solid" would make readers take the file for text, so "binary " is put before it.
 *  Cost: about 150 ms per million triangles. */
export function writeStl(mesh: Mesh, options: StlWriteOptions = STL_WRITE_DEFAULTS): Uint8Array<ArrayBuffer> {
  const count = numTris(mesh);
  const bytes = new Uint8Array(STL_HEADER_BYTES + STL_FACET_BYTES * count);
  writeTitle(bytes, options.title);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);
  const single = Float32Array.from(mesh.positions);
  const { triangles } = mesh;
  for (let t = 0, at = STL_HEADER_BYTES; t < count; t++, at += STL_FACET_BYTES) {
    const a = triangles[t * 3]! * 3;
    const b = triangles[t * 3 + 1]! * 3;
    const c = triangles[t * 3 + 2]! * 3;
    writeNormal(view, at, { single, a, b, c });
    writeCorner(view, at + 12, single, a);
    writeCorner(view, at + 24, single, b);
    writeCorner(view, at + 36, single, c);
  }
  return bytes;
}

function writeTitle(bytes: Uint8Array, title: string): void {
  const text = /^\s*solid/i.test(title) ? `binary ${title}` : title;
  for (let i = 0; i < 80 && i < text.length; i++) {
    const code = text.charCodeAt(i);
    bytes[i] = code >= 32 && code < 127 ? code : 63;
  }
}

function writeCorner(view: DataView, at: number, single: Float32Array, v: number): void {
  const sum = single[v]! + single[v + 1]! + single[v + 2]!;
  invariant(sum - sum === 0, 'coordinates written to a file are finite in single precision');
  view.setFloat32(at, single[v]!, true);
  view.setFloat32(at + 4, single[v + 1]!, true);
  view.setFloat32(at + 8, single[v + 2]!, true);
}

function writeNormal(view: DataView, at: number, tri: { single: Float32Array; a: number; b: number; c: number }): void {
  const { single: p, a, b, c } = tri;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  const scale = length > 0 ? 1 / length : 0;
  view.setFloat32(at, nx * scale + 0, true);
  view.setFloat32(at + 4, ny * scale + 0, true);
  view.setFloat32(at + 8, nz * scale + 0, true);
}
