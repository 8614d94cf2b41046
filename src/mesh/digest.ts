// The name of a mesh (its content hash) and the few numbers by which two meshes are compared.
import { sha256Hex } from '../base/sha256.ts';
import { bounds, surfaceArea, volume } from './measure.ts';
import { type Bounds, type Mesh, numTris, numVerts } from './mesh.ts';
import type { MeshId } from './mesh-store.ts';
import { surfaceCheck } from './topology.ts';

/** SHA-256 of positions, then triangles, as little-endian bytes. Cost: O(n), about 0.2 s per million triangles. */
export function meshId(mesh: Mesh): MeshId {
  return sha256Hex(bytesOf(mesh.positions), bytesOf(mesh.triangles));
}

export interface MeshDigest {
  readonly numVerts: number;
  readonly numTris: number;
  readonly volumeMm3: number;
  readonly areaMm2: number;
  readonly bounds: Bounds;
  readonly shells: number;
  readonly genus: number;
  readonly closed: boolean;
}

export function meshDigest(mesh: Mesh): MeshDigest {
  const { shells, genus, closed } = surfaceCheck(mesh);
  return {
    numVerts: numVerts(mesh),
    numTris: numTris(mesh),
    volumeMm3: volume(mesh),
    areaMm2: surfaceArea(mesh),
    bounds: bounds(mesh),
    shells,
    genus,
    closed,
  };
}

function bytesOf(array: Float64Array | Uint32Array): Uint8Array {
  return new Uint8Array(array.buffer, array.byteOffset, array.byteLength);
}
