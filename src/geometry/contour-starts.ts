// Where each contour of a layer starts when starts are lined up in one direction: its point farthest that way.
import type { Work } from '../base/work.ts';
import { bounds } from '../mesh/measure.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { layerContours } from './layer-sweep.ts';
import { twiceLoopArea } from './section-loops.ts';

/** One entry for each outer contour of each height, bottom first; holes are left out. */
export interface ContourStarts {
  readonly numContours: number;
  /** Heights stand so far apart, each in the middle of its band: together they are the height of the mesh. */
  readonly bandMm: number;
  readonly heightMm: Float64Array;
  /** numContours x directions x 2. */
  readonly pointsMm: Float64Array;
  /** numContours x directions x 2: triangles over which the contour comes to that point and leaves it. */
  readonly tris: Uint32Array;
}

/** A direction is turned by this, degrees, so that a flat side square to it has one farthest corner, the next counter-clockwise. */
const HAIR_DEG = 0.06;

/** The farthest point of every outer contour in each direction of the bed, at heights about `aboutMm` apart. Directions: degrees
 *  counter-clockwise from x. Space: laid, mm, z up. Cost: one sweep over the triangles as `layerContours`, then points of contours x
 *  directions: 0.2 to 0.4 s for a million triangles and 37 directions at 2 mm. Law: the mesh is closed. Method: docs/methods/layer-starts.md.
 *  Weak: what starts at a corner near that point, or in a hole, is not in it. */
export function contourStarts(
  mesh: Mesh,
  directionsDeg: readonly number[],
  aboutMm: number,
  work: Work,
): ContourStarts {
  const [low, high] = heights(mesh);
  const num = directionsDeg.length;
  const numBands = Math.max(1, Math.ceil((high - low) / aboutMm - 1e-9));
  const bandMm = (high - low) / numBands;
  const found = { heightMm: [] as number[], pointsMm: [] as number[], tris: [] as number[] };
  if (bandMm > 0) {
    const ways = directionsDeg.map((deg) => ((deg + HAIR_DEG) * Math.PI) / 180).map((a) => [Math.cos(a), Math.sin(a)]);
    const stack = { firstMm: low + bandMm / 2, stepMm: bandMm, numLayers: numBands };
    for (const { heightMm, points, tris, loopStart } of layerContours(mesh, stack, work))
      for (let i = 0; i + 1 < loopStart.length; i++) {
        const [from, to] = [loopStart[i]!, loopStart[i + 1]!];
        if (twiceLoopArea(points.subarray(2 * from, 2 * to)) <= 0) continue;
        found.heightMm.push(heightMm);
        for (let d = 0; d < num; d++) {
          const at = farthest(points, { from, to }, ways[d] as [number, number]);
          found.pointsMm.push(points[2 * at]!, points[2 * at + 1]!);
          found.tris.push(tris[at === from ? to - 1 : at - 1]!, tris[at]!);
        }
      }
  }
  return {
    numContours: found.heightMm.length,
    bandMm,
    heightMm: Float64Array.from(found.heightMm),
    pointsMm: Float64Array.from(found.pointsMm),
    tris: Uint32Array.from(found.tris),
  };
}

function heights(mesh: Mesh): readonly [number, number] {
  if (mesh.triangles.length === 0) return [0, 0];
  const { minMm, maxMm } = bounds(mesh);
  return [minMm[2], maxMm[2]];
}

function farthest(
  points: Float64Array,
  { from, to }: { readonly from: number; readonly to: number },
  [ux, uy]: readonly [number, number],
): number {
  let best = -Infinity;
  let at = from;
  for (let i = from; i < to; i++) {
    const along = ux * points[2 * i]! + uy * points[2 * i + 1]!;
    if (along <= best) continue;
    best = along;
    at = i;
  }
  return at;
}
