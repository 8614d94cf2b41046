// Gives triangles that were not measured the numbers of the nearest measured one along the surface.
import { halfEdgeTwins } from '../../mesh/half-edges.ts';
import { type Mesh, NONE } from '../../mesh/mesh.ts';

export interface CarriedNumbers {
  /** numTris: 1 where a triangle has its own numbers. */
  readonly measured: Uint8Array;
  readonly areaMm2: Float64Array;
  /** numTris each: what is carried. */
  readonly numbers: readonly Float32Array[];
}

/** Normals that differ more than this belong to different faces of the part; cosine. */
const SAME_FACE_COSINE = 0.5;

/** Breadth first over shared edges from all measured triangles at once: first without crossing creases, then for what is left
 *  across them. What no measured triangle reaches keeps Infinity. Cost: O(n). */
export function carryOver(mesh: Mesh, normals: Float64Array, { measured, areaMm2, numbers }: CarriedNumbers): void {
  const twins = halfEdgeTwins(mesh);
  const from = new Int32Array(areaMm2.length).fill(NONE);
  for (const least of [SAME_FACE_COSINE, -2]) spread({ twins, normals, from, measured, areaMm2 }, least);
  for (let tri = 0; tri < from.length; tri++) {
    const source = from[tri]!;
    if (source === NONE || source === tri || !(areaMm2[tri]! > 0)) continue;
    for (const list of numbers) list[tri] = list[source]!;
  }
}

interface Spread {
  readonly twins: Int32Array;
  readonly normals: Float64Array;
  readonly from: Int32Array;
  readonly measured: Uint8Array;
  readonly areaMm2: Float64Array;
}

function spread({ twins, normals, from, measured, areaMm2 }: Spread, leastCosine: number): void {
  const queue = new Uint32Array(from.length);
  let end = 0;
  for (let tri = 0; tri < from.length; tri++) {
    if (from[tri] === NONE && measured[tri] === 1) from[tri] = tri;
    if (from[tri] !== NONE) queue[end++] = tri;
  }
  for (let at = 0; at < end; at++) {
    const tri = queue[at]!;
    for (let h = tri * 3; h < tri * 3 + 3; h++) {
      const twin = twins[h]!;
      if (twin === NONE) continue;
      const other = Math.floor(twin / 3);
      if (from[other] !== NONE || cosine({ normals, areaMm2 }, tri, other) < leastCosine) continue;
      from[other] = from[tri]!;
      queue[end++] = other;
    }
  }
}

/** Triangles without an area face every way. */
function cosine(
  { normals: n, areaMm2 }: { normals: Float64Array; areaMm2: Float64Array },
  a: number,
  b: number,
): number {
  const lengths = 4 * areaMm2[a]! * areaMm2[b]!;
  if (!(lengths > 0)) return 1;
  return (n[a * 3]! * n[b * 3]! + n[a * 3 + 1]! * n[b * 3 + 1]! + n[a * 3 + 2]! * n[b * 3 + 2]!) / lengths;
}
