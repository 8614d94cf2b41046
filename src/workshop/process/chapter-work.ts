// What a chapter is handed to work with.
import type { SolidWork } from '../../geometry/solid/solid.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';

export interface ChapterWork extends SolidWork {
  readonly meshes: MeshStore;
}
