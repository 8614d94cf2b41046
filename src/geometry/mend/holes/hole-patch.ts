// A patch while it is being worked on: its own corners, those of the rim first, and who is next to whom.
import { nextHalfEdge } from '../../../mesh/half-edges.ts';
import { NONE } from '../../../mesh/mesh.ts';

export interface HolePatch {
  /** How many of the points belong to the rim: the first ones. */
  readonly numRim: number;
  /** x y z of rim and new points, mm. */
  readonly points: number[];
  readonly triangles: number[];
  readonly twins: number[];
}

export function holePatch(rimPoints: Float64Array, triangles: Uint32Array): HolePatch {
  const patch: HolePatch = {
    numRim: rimPoints.length / 3,
    points: Array.from(rimPoints),
    triangles: Array.from(triangles),
    twins: new Array<number>(triangles.length).fill(NONE),
  };
  pairTwins(patch);
  return patch;
}

function pairTwins({ triangles, twins, numRim }: HolePatch): void {
  const halfEdgeAt = new Map<number, number>();
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h]!;
    const b = triangles[nextHalfEdge(h)]!;
    const mate = halfEdgeAt.get(b * numRim + a);
    if (mate === undefined) halfEdgeAt.set(a * numRim + b, h);
    else {
      twins[h] = mate;
      twins[mate] = h;
    }
  }
}
