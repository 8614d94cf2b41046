// One vertex for each fan: where sheets only touch at a point or an edge they get points of their own.
import { cornerFans, firstOf, joinFans } from '../../mesh/corner-fans.ts';
import { nextHalfEdge } from '../../mesh/half-edges.ts';
import { type Mesh, meshOf, NONE, numVerts } from '../../mesh/mesh.ts';
import { simpleLoops } from './holes/open-loops.ts';
import type { PairedEdges } from './pair-edges.ts';

export interface Parted {
  readonly mesh: Mesh;
  /** Vertices that were doubled, and the first of them (NONE). */
  readonly count: number;
  readonly first: number;
}

/** pairs: who is across each edge (`pairEdges`). acrossHoles: fans that one hole lies between keep their vertex together (but not at
 *  crowded edges), so that the hole can be closed as one; 'part' parts them as well. The new vertices lie where the old one does. Cost: O(n). */
export function partPoints(mesh: Mesh, pairs: PairedEdges, acrossHoles: 'join' | 'part'): Parted {
  const fanOf = cornerFans(mesh, pairs.mates);
  if (acrossHoles === 'join') joinAcrossHoles(mesh, pairs, fanOf);
  const { triangles, positions } = mesh;
  const ownerOf = new Int32Array(numVerts(mesh)).fill(NONE);
  const vertOfFan = new Int32Array(triangles.length).fill(NONE);
  const copies: number[] = [];
  let [count, first] = [0, NONE as number];
  const isCounted = new Uint8Array(numVerts(mesh));
  for (let h = 0; h < triangles.length; h++) {
    if (fanOf[h] !== h) continue;
    const v = triangles[h]!;
    if (ownerOf[v] === NONE) {
      ownerOf[v] = h;
      vertOfFan[h] = v;
      continue;
    }
    vertOfFan[h] = numVerts(mesh) + copies.length;
    copies.push(v);
    if (isCounted[v] === 1) continue;
    isCounted[v] = 1;
    count++;
    if (first === NONE) first = v;
  }
  if (copies.length === 0) return { mesh, count: 0, first: NONE };
  const grown = new Float64Array(positions.length + 3 * copies.length);
  grown.set(positions);
  copies.forEach((v, i) => {
    grown.set(positions.subarray(3 * v, 3 * v + 3), positions.length + 3 * i);
  });
  return {
    mesh: meshOf(
      grown,
      Uint32Array.from(fanOf, (fan) => vertOfFan[fan]!),
    ),
    count,
    first,
  };
}

function joinAcrossHoles(mesh: Mesh, { mates, crowdedVerts }: PairedEdges, fanOf: Int32Array): void {
  const open: number[] = [];
  for (let h = 0; h < mates.length; h++) if (mates[h] === NONE) open.push(h);
  for (const loop of simpleLoops(mesh, Int32Array.from(open))) {
    for (let i = 0; i < loop.length; i++) {
      const next = loop[(i + 1) % loop.length]!;
      if (!crowdedVerts.has(mesh.triangles[next]!)) joinFans(fanOf, nextHalfEdge(loop[i]!), next);
    }
  }
  for (let h = 0; h < fanOf.length; h++) fanOf[h] = firstOf(fanOf, h);
}
