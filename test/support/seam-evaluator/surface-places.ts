// Where a point lies on the model: the nearest triangle and how far it is, by the evaluator's own tree.
import { BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { type HitPointInfo, MeshBVH } from 'three-mesh-bvh';
import type { Mesh } from '../../../src/mesh/mesh.ts';

export interface SurfacePlace {
  readonly tri: number;
  readonly distanceMm: number;
}

/** Single precision: distances below some 1e-4 mm say nothing. */
export function surfacePlaces({ positions, triangles }: Mesh): (x: number, y: number, z: number) => SurfacePlace {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex(new BufferAttribute(Uint32Array.from(triangles), 1));
  const tree = new MeshBVH(geometry, { indirect: true });
  const point = new Vector3();
  const found: HitPointInfo = { point: new Vector3(), distance: 0, faceIndex: 0 };
  return (x, y, z) => {
    tree.closestPointToPoint(point.set(x, y, z), found);
    return { tri: found.faceIndex, distanceMm: found.distance };
  };
}
