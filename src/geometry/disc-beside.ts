// Whether a disc finds room in a plane: it has to cover a given point and to hold none of the points that stand round it.

export interface PointsBeside {
  /** About the point to be covered, mm; those whose `farMm` is Infinity do not count. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly farMm: Float64Array;
}

/** A middle may be nearer to a point, or farther from the one to be covered, by this share of the radius. */
export const DISC_SLACK = 0.001;

/** Whether there is a middle no farther than the radius from the origin, and no nearer than the radius to any of the points. Exact but for DISC_SLACK. Cost: O(points) a square
 *  looked at, some tens of them. Method: the least of the two distances left over changes no faster than the middle moves, so a square
 *  whose middle lacks more than half its diagonal is left out; the others are quartered, the most promising first. */
export function discFits(points: PointsBeside, radiusMm: number): boolean {
  const allowed = -DISC_SLACK * radiusMm;
  const stack: Square[] = [];
  const first = { x: 0, y: 0, half: radiusMm, left: leftOver(points, radiusMm, 0, 0) };
  if (first.left >= allowed) return true;
  stack.push(first);
  while (stack.length > 0) {
    const { x, y, half } = stack.pop()!;
    const h = half / 2;
    const quarters: Square[] = [];
    for (let q = 0; q < 4; q++) {
      const qx = x + (q & 1 ? h : -h);
      const qy = y + (q & 2 ? h : -h);
      const left = leftOver(points, radiusMm, qx, qy);
      if (left >= allowed) return true;
      if (left + h * Math.SQRT2 >= allowed) quarters.push({ x: qx, y: qy, half: h, left });
    }
    quarters.sort((a, b) => a.left - b.left);
    if (h > -allowed / 4) stack.push(...quarters);
  }
  return false;
}

interface Square {
  readonly x: number;
  readonly y: number;
  readonly half: number;
  readonly left: number;
}

/** How much nearer the middle could come to the nearest point, or go away from the origin; negative: by how much it is too near or too far. */
function leftOver({ x, y, farMm }: PointsBeside, radiusMm: number, mx: number, my: number): number {
  let nearest = Infinity;
  for (let i = 0; i < x.length; i++) {
    if (farMm[i] === Infinity) continue;
    const dx = x[i]! - mx;
    const dy = y[i]! - my;
    const d = dx * dx + dy * dy;
    if (d < nearest) nearest = d;
  }
  return Math.min(Math.sqrt(nearest) - radiusMm, radiusMm - Math.sqrt(mx * mx + my * my));
}
