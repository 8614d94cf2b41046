// A small chamfer along the outer edge of a mating face that prints on the bed: first layers flare, and a flared edge holds a joint open.

import type { MeshPart } from '../../../geometry/plane-split.ts';
import { cross, minus, plus, scaled, unit } from '../../../geometry/three-by-three.ts';
import { type Mesh, meshOf } from '../../../mesh/mesh.ts';
import { type OuterEdge, outerEdges } from './outer-edges.ts';

export const RELIEF_DEFAULTS = {
  /** The line of the edge is taken straight where it is so within this, mm. */
  withinMm: 0.03,
  /** Steeper leans of the wall are taken for this one: the edge is feathered there, and a chamfer would eat it up. */
  mostLeanDeg: 60,
} as const;

/** What to take off one piece along the outer edge of its mating face of seam index `seam`: from `reliefMm` inward on the face to
 *  `reliefMm` down on the wall. One wedge for each straight stretch, closed and convex, overlapping at the corners; for `trims` of
 *  `keyedPiece`. Space: that of the piece. Cost: O(triangles of the piece). Weak: at corners sharper than
 *  90 degrees the wedges stop short of each other. */
export function edgeRelief(
  part: MeshPart,
  seam: number,
  { seen, reliefMm }: { readonly seen: Uint8Array; readonly reliefMm: number },
): Mesh[] {
  if (reliefMm <= 0) return [];
  return outerEdges(part, seam, { seen, withinMm: RELIEF_DEFAULTS.withinMm }).map((edge) => wedge(edge, reliefMm));
}

/** Wedges overlap by this at their ends, mm, so that none only touch. */
const OVERLAP_MM = 0.01;

function wedge(edge: OuterEdge, reliefMm: number): Mesh {
  const span = minus(edge.to, edge.from);
  const along = unit(span);
  const out = unit(cross(along, edge.normal));
  const mostBack = SHARE_BACK * Math.hypot(...span);
  const positions = new Float64Array(18);
  for (const [c, [x, y]] of section(edge.leanDeg, reliefMm).entries())
    for (const end of [0, 1] as const) {
      const onward = OVERLAP_MM + Math.max(-mostBack, mitre(edge.turnDeg[end], x));
      const at = plus(end === 0 ? edge.from : edge.to, scaled(along, end === 0 ? -onward : onward));
      positions.set(plus(at, plus(scaled(out, x), scaled(edge.normal, y))), (end * 3 + c) * 3);
    }
  return meshOf(positions, Uint32Array.from(WEDGE));
}

/** No end is drawn back by more than this share of the edge, so that short ones stay sound. */
const SHARE_BACK = 0.45;

/** Corners 0 to 2 at its beginning and 3 to 5 at its end. */
const WEDGE = [0, 1, 2, 3, 5, 4, 0, 3, 4, 0, 4, 1, 1, 4, 5, 1, 5, 2, 2, 5, 3, 2, 3, 0];

/** Outward and out of the face: the chamfer's line, gone on beyond both ends, and a corner well outside. */
function section(leanDeg: number, reliefMm: number): readonly (readonly [number, number])[] {
  const most = RELIEF_DEFAULTS.mostLeanDeg;
  const lean = Math.tan((Math.max(-most, Math.min(most, leanDeg)) * Math.PI) / 180);
  const onFace = [-reliefMm, 0] as const;
  const onWall = [reliefMm * lean, -reliefMm] as const;
  const beyond = (share: number): readonly [number, number] => [
    onFace[0] + share * (onWall[0] - onFace[0]),
    onFace[1] + share * (onWall[1] - onFace[1]),
  ];
  const high = beyond(-0.5);
  const low = beyond(1.4);
  return [high, low, [Math.max(0, low[0]) + reliefMm, high[1]]];
}

/** How far a wedge goes on beyond its end at `outMm` from the edge. Where the face is hollow, to the line on which it meets the next one;
 *  at a corner that stands out only outside of the edge: inside, the next wedge takes as much. */
function mitre(turnDeg: number, outMm: number): number {
  const share = Math.min(1, Math.tan((Math.min(Math.abs(turnDeg), 170) * Math.PI) / 360));
  if (turnDeg > 0) return -outMm * share;
  return Math.max(0, outMm) * share;
}
