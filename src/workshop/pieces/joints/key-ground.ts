// The walls that keys stand on: the plain pieces, each with a tree, and the outside of the shell.
import { type BoundingTree, buildBoundingTree } from '../../../mesh/bounding-tree.ts';
import { closestPoint } from '../../../mesh/closest-point.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../mesh/mesh.ts';
import type { PlainPiece } from './read-sections.ts';

export interface KeyGround {
  readonly pieces: ReadonlyMap<string, GroundPiece>;
  /** Over the outside of the shell alone. */
  readonly outside: BoundingTree;
  /** Per triangle of the shell, 0 on its inside. */
  readonly seen: Uint8Array;
}

export interface GroundPiece extends PlainPiece {
  readonly tree: BoundingTree;
}

/** Cost: one tree over each piece and one over the outside, O(n log n). Space: worn. */
export function keyGround(shell: Mesh, pieces: readonly PlainPiece[], seen: Uint8Array): KeyGround {
  const outer: number[] = [];
  for (let tri = 0; tri < seen.length; tri++)
    if (seen[tri]! > 0)
      outer.push(shell.triangles[tri * 3]!, shell.triangles[tri * 3 + 1]!, shell.triangles[tri * 3 + 2]!);
  return {
    pieces: new Map(pieces.map((piece) => [piece.id, { ...piece, tree: buildBoundingTree(piece.mesh) }])),
    outside: buildBoundingTree(meshOf(shell.positions, Uint32Array.from(outer))),
    seen,
  };
}

/** The wall at a place on the inside, mm: how far the outside is away. Infinity when there is none. */
export function wallAt(ground: KeyGround, place: Vec3): number {
  return closestPoint(ground.outside, place)?.distanceMm ?? Infinity;
}

/** The middle wall along a section's inner sides, measured straight through it; Infinity for a face without inner side. The section's own
 *  thickness is larger where the cut runs aslant through the wall. Cost: a closest point each `stepMm`. */
export function wallAlong(ground: KeyGround, places: readonly Vec3[]): number {
  const walls = places.map((place) => wallAt(ground, place)).sort((a, b) => a - b);
  return walls[Math.trunc(walls.length / 2)] ?? Infinity;
}
