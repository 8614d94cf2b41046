// Meshes are passed between chapters by id, so that results stay small records; whoever runs the engine supplies the store.
import type { Mesh } from './mesh.ts';

/** SHA-256 (hex) of little-endian positions, then triangles. */
export type MeshId = string;

/** Synchronous by design: chapters are plain functions. `get` throws on an unknown id (a bug: ids come from results). */
export interface MeshStore {
  get(id: MeshId): Mesh;
  put(mesh: Mesh): MeshId;
}
