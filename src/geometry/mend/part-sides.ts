// One vertex for each fan, and edges split where vertices of their own do not tell two pairs of faces apart.
import { edgeRings } from '../../mesh/edge-rings.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { type PairedEdges, pairEdges } from './pair-edges.ts';
import { type Parted, partPoints } from './part-points.ts';
import { splitSharedSides } from './split-sides.ts';

/** As `partPoints`, but two pairs of faces that share both ends of an edge come apart too. Cost: O(n) a round, mostly one. */
export function partSides(mesh: Mesh, pairs: PairedEdges, acrossHoles: 'join' | 'part'): Parted {
  const { count, first, mesh: once } = partPoints(mesh, pairs, acrossHoles);
  let parted = once;
  let { mates } = pairs;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const split = splitSharedSides(parted, edgeRings(parted), mates);
    if (split === null) break;
    const edges = pairEdges(split, edgeRings(split));
    parted = partPoints(split, edges, acrossHoles).mesh;
    mates = edges.mates;
  }
  return { mesh: parted, count, first };
}

/** A triangle all of whose sides are shared needs three. */
const MOST_ROUNDS = 8;
