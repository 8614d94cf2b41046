// Rays and nearest points of the evaluator: another library than the engine's own, so that one mistake cannot be in both.
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three';
import { type HitPointInfo, MeshBVH } from 'three-mesh-bvh';
import type { Mesh } from '../../../src/mesh/mesh.ts';

export interface RayHit {
  readonly tri: number;
  readonly distanceMm: number;
}

export interface RayTree {
  /** The first triangle, seen from either side, from a point along a unit direction; null when the ray leaves. */
  first(from: ArrayLike<number>, way: ArrayLike<number>): RayHit | null;
  /** The nearest triangle to a point and how far it is; single precision, so under some 1e-4 mm it says nothing. */
  nearest(point: ArrayLike<number>): RayHit;
}

export function rayTree({ positions, triangles }: Mesh): RayTree {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex(new BufferAttribute(Uint32Array.from(triangles), 1));
  const tree = new MeshBVH(geometry, { indirect: true });
  const ray = new Ray();
  const at = new Vector3();
  const found: HitPointInfo = { point: new Vector3(), distance: 0, faceIndex: 0 };
  return {
    first(from, way) {
      ray.origin.set(from[0]!, from[1]!, from[2]!);
      ray.direction.set(way[0]!, way[1]!, way[2]!);
      const hit = tree.raycastFirst(ray, DoubleSide);
      return hit === null ? null : { tri: hit.faceIndex!, distanceMm: hit.distance };
    },
    nearest(point) {
      tree.closestPointToPoint(at.set(point[0]!, point[1]!, point[2]!), found);
      return { tri: found.faceIndex, distanceMm: found.distance };
    },
  };
}
