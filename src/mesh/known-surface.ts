// What several passes over one mesh ask of its surface, worked out once.
import { halfEdgeTwins } from './half-edges.ts';
import { areaNormals } from './measure.ts';
import type { Mesh } from './mesh.ts';

export interface KnownSurface {
  /** See halfEdgeTwins. */
  readonly twins: Int32Array;
  /** See areaNormals: as long as twice the area, numTris x 3. */
  readonly normals: Float64Array;
}

/** Cost: O(n), some 0.2 s per million triangles. */
export function knownSurface(mesh: Mesh): KnownSurface {
  return { twins: halfEdgeTwins(mesh), normals: areaNormals(mesh) };
}
