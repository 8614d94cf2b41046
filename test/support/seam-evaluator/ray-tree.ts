// Rays of the evaluator: another library than the engine's own, so that one mistake cannot be in both.
import { BufferAttribute, BufferGeometry, DoubleSide, Ray } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import type { Mesh } from '../../../src/mesh/mesh.ts';

export interface RayHit {
  readonly tri: number;
  readonly distanceMm: number;
}

export interface RayTree {
  /** The first triangle, seen from either side, from a point along a unit direction; null when the ray leaves. */
  first(from: ArrayLike<number>, way: ArrayLike<number>): RayHit | null;
}

export function rayTree({ positions, triangles }: Mesh): RayTree {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex(new BufferAttribute(Uint32Array.from(triangles), 1));
  const tree = new MeshBVH(geometry, { indirect: true });
  const ray = new Ray();
  return {
    first(from, way) {
      ray.origin.set(from[0]!, from[1]!, from[2]!);
      ray.direction.set(way[0]!, way[1]!, way[2]!);
      const hit = tree.raycastFirst(ray, DoubleSide);
      return hit === null ? null : { tri: hit.faceIndex!, distanceMm: hit.distance };
    },
  };
}
