// A rectangular block on the floor, middle of its base at the origin.
import { type Mesh, meshOf, type Vec3 } from '../../../src/mesh/mesh.ts';

export function blockMesh([x, y, z]: Vec3): Mesh {
  const positions = new Float64Array(24);
  for (let v = 0; v < 8; v++) {
    positions[v * 3] = (v & 1) === 0 ? -x / 2 : x / 2;
    positions[v * 3 + 1] = (v & 2) === 0 ? -y / 2 : y / 2;
    positions[v * 3 + 2] = (v & 4) === 0 ? 0 : z;
  }
  // bottom, top, front, back, right, left
  const triangles = Uint32Array.from([
    0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4, 2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5,
  ]);
  return meshOf(positions, triangles);
}
