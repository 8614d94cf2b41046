// The line that a plane draws on a surface, with what it costs: quick enough to be told while the plane moves.
import type { Plane } from './plane.ts';

/** A surface, and per triangle what a millimetre of line on it costs; 0 where a line does not count, as on the inside of a wall. */
export interface PricedSurface {
  /** xyz interleaved. */
  readonly positions: Float64Array | Float32Array;
  readonly triangles: Uint32Array;
  readonly price: Float64Array | Float32Array | Uint8Array;
}

export interface SurfaceLine {
  readonly lengthMm: number;
  /** Each millimetre at its price. */
  readonly costMm: number;
  /** The steps of the line that count, six numbers each: from xyz to xyz, in no order. */
  readonly steps: Float32Array;
}

/** Every triangle that the plane crosses and whose price is over 0 gives one step. `sides`: only steps whose middle lies on the side of
 *  these planes that their sign says count: so a line ends where an earlier cut has ended the part.
 *  `fullPrice`: the price that counts a millimetre as one. Corners on the plane count as above it, so no step is counted twice.
 *  Cost: O(triangles), 2 ms for 100 thousand. Exact on the surface given. */
export function lineOnTriangles(
  { positions: p, triangles: t, price }: PricedSurface,
  { normal, offsetMm }: Plane,
  {
    sides = [],
    fullPrice = 1,
  }: { readonly sides?: readonly { readonly plane: Plane; readonly sign: 1 | -1 }[]; readonly fullPrice?: number } = {},
): SurfaceLine {
  const [x, y, z] = normal;
  const heights = new Float64Array(p.length / 3);
  for (let v = 0, at = 0; v < heights.length; v++, at += 3)
    heights[v] = p[at]! * x + p[at + 1]! * y + p[at + 2]! * z - offsetMm;
  const steps: number[] = [];
  let lengthMm = 0;
  let costMm = 0;
  for (let tri = 0; tri < price.length; tri++) {
    if (price[tri] === 0) continue;
    const [a, b, c] = [t[tri * 3]!, t[tri * 3 + 1]!, t[tri * 3 + 2]!];
    const [ha, hb, hc] = [heights[a]!, heights[b]!, heights[c]!];
    const above = (ha >= 0 ? 1 : 0) + (hb >= 0 ? 1 : 0) + (hc >= 0 ? 1 : 0);
    if (above === 0 || above === 3) continue;
    // the corner that lies alone on its side
    const alone = above === 1 ? 1 : 0;
    const from = (ha >= 0 ? 1 : 0) === alone ? 0 : (hb >= 0 ? 1 : 0) === alone ? 1 : 2;
    const one = from === 0 ? a : from === 1 ? b : c;
    const next = from === 0 ? b : from === 1 ? c : a;
    const last = from === 0 ? c : from === 1 ? a : b;
    const at = steps.length;
    push(steps, p, heights, one, next);
    push(steps, p, heights, one, last);
    if (!counts(steps, at, sides)) {
      steps.length = at;
      continue;
    }
    const mm = Math.hypot(
      steps[at + 3]! - steps[at]!,
      steps[at + 4]! - steps[at + 1]!,
      steps[at + 5]! - steps[at + 2]!,
    );
    lengthMm += mm;
    costMm += (mm * price[tri]!) / fullPrice;
  }
  return { lengthMm, costMm, steps: Float32Array.from(steps) };
}

/** Where the edge from vertex `one` to `other` crosses. */
function push(
  steps: number[],
  p: Float64Array | Float32Array,
  heights: Float64Array,
  one: number,
  other: number,
): void {
  const share = heights[one]! / (heights[one]! - heights[other]!);
  for (let c = 0; c < 3; c++) steps.push(p[one * 3 + c]! + share * (p[other * 3 + c]! - p[one * 3 + c]!));
}

function counts(
  steps: readonly number[],
  at: number,
  sides: readonly { readonly plane: Plane; readonly sign: 1 | -1 }[],
): boolean {
  return sides.every(({ plane: { normal, offsetMm }, sign }) => {
    let height = -offsetMm;
    for (let c = 0; c < 3; c++) height += (normal[c]! * (steps[at + c]! + steps[at + 3 + c]!)) / 2;
    return height * sign > 0;
  });
}
