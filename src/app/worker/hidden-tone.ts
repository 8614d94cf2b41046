// How little each point of a displayed surface is looked at, taken from the piece it shows.
import { buildBoundingTree } from '../../mesh/bounding-tree.ts';
import { closestPoints } from '../../mesh/closest-point.ts';
import { type Mesh, meshOf, NONE } from '../../mesh/mesh.ts';

export interface SeenPiece {
  readonly mesh: Mesh;
  /** Per triangle: that of the shell, or negative on a mating face. */
  readonly sourceTri: Int32Array;
  /** Per triangle of the shell, 0 to 255; 0 inside. */
  readonly seen: Uint8Array;
}

/** For each point (xyz) of each surface: 0 in full view, 255 looked at from nowhere; 0 as well on what is not outside. Each takes after the
 *  nearest triangle of the piece that is no mating face. Cost: a tree over the piece, and some 3 us a point. */
export function hiddenTones(piece: SeenPiece, surfaces: readonly Float32Array[]): readonly Uint8Array[] {
  const kept: number[] = [];
  for (let tri = 0; tri < piece.sourceTri.length; tri++) if (piece.sourceTri[tri]! >= 0) kept.push(tri);
  const triangles = new Uint32Array(kept.length * 3);
  for (let i = 0; i < kept.length; i++)
    triangles.set(piece.mesh.triangles.subarray(kept[i]! * 3, kept[i]! * 3 + 3), i * 3);
  const tree = buildBoundingTree(meshOf(piece.mesh.positions, triangles));
  return surfaces.map((positions) => {
    const count = positions.length / 3;
    const nearest = { tri: new Int32Array(count), distanceMm: new Float64Array(count) };
    closestPoints(tree, Float64Array.from(positions), nearest);
    return Uint8Array.from(nearest.tri, (at) => {
      const seen = at === NONE ? 0 : piece.seen[piece.sourceTri[kept[at]!]!]!;
      return seen === 0 ? 0 : 255 - seen;
    });
  });
}
