// The triangle mesh every layer speaks: flat arrays, no objects per vertex.

/** A triangle mesh. positions: numVerts x 3 (mm, xyz interleaved). triangles: numTris x 3 (vertex handles, counter-clockwise
 *  seen from outside). Never mutated once built; which space it is in is said by whoever holds it. */
export interface Mesh {
  readonly kind: 'mesh';
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

/** No element: the missing index everywhere. */
export const NONE = -1;

export type Vec3 = readonly [number, number, number];

export interface Bounds {
  readonly minMm: Vec3;
  readonly maxMm: Vec3;
}

export function meshOf(positions: Float64Array, triangles: Uint32Array): Mesh {
  return { kind: 'mesh', positions, triangles };
}

export function numVerts(mesh: Mesh): number {
  return mesh.positions.length / 3;
}

export function numTris(mesh: Mesh): number {
  return mesh.triangles.length / 3;
}
