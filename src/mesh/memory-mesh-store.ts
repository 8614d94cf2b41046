// A mesh store that lives as long as the program: tests, scripts, one-off runs of the library.
import { invariant } from '../base/invariant.ts';
import { meshId } from './digest.ts';
import type { Mesh } from './mesh.ts';
import type { MeshStore } from './mesh-store.ts';

export function memoryMeshStore(): MeshStore {
  const meshes = new Map<string, Mesh>();
  return {
    get(id) {
      const mesh = meshes.get(id);
      invariant(mesh !== undefined, `mesh ${id} is in the store`);
      return mesh;
    },
    put(mesh) {
      const id = meshId(mesh);
      meshes.set(id, mesh);
      return id;
    },
  };
}
