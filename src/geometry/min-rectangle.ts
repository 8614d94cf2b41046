// Flat outlines in a rectangle: the convex outline of points, its smallest rectangle, and whether it fits a given one.

/** Convex outline of points (n x 2), counter-clockwise, no three in a line. Method: Andrew's monotone chain, O(n log n). */
export function convexOutline(points: Float64Array): Float64Array {
  const num = points.length / 2;
  const order = new Uint32Array(num).map((_, i) => i);
  order.sort((a, b) => points[a * 2]! - points[b * 2]! || points[a * 2 + 1]! - points[b * 2 + 1]!);
  const hull: number[] = [];
  const half = (from: number, to: number, step: number) => {
    const base = hull.length;
    for (let i = from; i !== to; i += step) {
      const p = order[i]!;
      while (hull.length >= base + 2 && turn(points, hull[hull.length - 2]!, hull[hull.length - 1]!, p) <= 0)
        hull.pop();
      hull.push(p);
    }
    hull.pop();
  };
  half(0, num, 1);
  half(num - 1, -1, -1);
  if (hull.length === 0 && num > 0) hull.push(order[0]!);
  const out = new Float64Array(hull.length * 2);
  hull.forEach((p, i) => {
    out[i * 2] = points[p * 2]!;
    out[i * 2 + 1] = points[p * 2 + 1]!;
  });
  return out;
}

function turn(p: Float64Array, a: number, b: number, c: number): number {
  const ax = p[a * 2]!;
  const ay = p[a * 2 + 1]!;
  return (p[b * 2]! - ax) * (p[c * 2 + 1]! - ay) - (p[b * 2 + 1]! - ay) * (p[c * 2]! - ax);
}

/** Turned by -angleRad the outline is `widthMm` along x and `depthMm` along y. */
export interface TurnedRectangle {
  readonly angleRad: number;
  readonly widthMm: number;
  readonly depthMm: number;
}

/** The rectangle of least area round a convex outline. One side lies along an edge (Freeman & Shapira 1975). O(n^2) in the outline. */
export function minRectangle(outline: Float64Array): TurnedRectangle {
  let best = rectangleAt(outline, 0);
  for (const angle of edgeAngles(outline)) {
    const here = rectangleAt(outline, angle);
    if (here.widthMm * here.depthMm < best.widthMm * best.depthMm * (1 - 1e-12)) best = here;
  }
  return best;
}

/** The turn by which a convex outline fits a rectangle with most room, and that room (mm, the least of both ways, negative when
 *  it does not fit). Exact: between two edge angles both widths are arcs of a sine, which are concave, so the least of
 *  max(width - limit, depth - limit) lies at an edge angle or where the two are equal. O(n^2) in the outline. */
export function fitRectangle(
  outline: Float64Array,
  widthMm: number,
  depthMm: number,
): TurnedRectangle & { readonly roomMm: number } {
  const angles = edgeAngles(outline);
  let best = { ...rectangleAt(outline, 0), roomMm: -Infinity };
  const consider = (angleRad: number) => {
    const here = rectangleAt(outline, angleRad);
    const roomMm = Math.min(widthMm - here.widthMm, depthMm - here.depthMm);
    if (roomMm > best.roomMm + 1e-9) best = { ...here, roomMm };
  };
  for (let i = 0; i < angles.length; i++) {
    consider(angles[i]!);
    const next = i + 1 < angles.length ? angles[i + 1]! : angles[0]! + Math.PI;
    for (const equal of equalAngles(outline, { from: angles[i]!, to: next, difference: widthMm - depthMm }))
      consider(equal);
  }
  return best;
}

/** Angles in [0, pi) at which an edge lies along x or y, sorted, without repeats. */
function edgeAngles(outline: Float64Array): number[] {
  const angles: number[] = [];
  const num = outline.length / 2;
  for (let i = 0; i < num; i++) {
    const j = (i + 1) % num;
    const angle = Math.atan2(outline[j * 2 + 1]! - outline[i * 2 + 1]!, outline[j * 2]! - outline[i * 2]!);
    angles.push(wrapped(angle), wrapped(angle + Math.PI / 2));
  }
  if (angles.length === 0) return [0];
  angles.sort((a, b) => a - b);
  return angles.filter((angle, i) => i === 0 || angle - angles[i - 1]! > 1e-9);
}

function wrapped(angle: number): number {
  const turned = angle % Math.PI;
  return turned < 0 ? turned + Math.PI : turned;
}

/** Where width - depth = difference between two neighbouring edge angles: there the farthest points stay the same, so
 *  width = D . (cos, sin) and depth = E . (-sin, cos), and the equation is one sine. */
function equalAngles(
  outline: Float64Array,
  range: { readonly from: number; readonly to: number; readonly difference: number },
): number[] {
  const middle = (range.from + range.to) / 2;
  const cos = Math.cos(middle);
  const sin = Math.sin(middle);
  const d = farthest(outline, cos, sin);
  const e = farthest(outline, -sin, cos);
  const a = d[0] - e[1];
  const b = d[1] + e[0];
  const size = Math.hypot(a, b);
  if (size < 1e-12 || Math.abs(range.difference) > size) return [];
  const base = Math.atan2(b, a);
  const half = Math.acos(range.difference / size);
  const out: number[] = [];
  for (const raw of [base + half, base - half]) {
    const angle = raw + Math.PI * 2 * Math.round((middle - raw) / (Math.PI * 2));
    if (angle > range.from && angle < range.to) out.push(angle);
  }
  return out;
}

/** Vector between the two points farthest apart along a direction. */
function farthest(outline: Float64Array, x: number, y: number): [number, number] {
  let low = 0;
  let high = 0;
  for (let i = 2; i < outline.length; i += 2) {
    const d = outline[i]! * x + outline[i + 1]! * y;
    if (d < outline[low]! * x + outline[low + 1]! * y) low = i;
    if (d > outline[high]! * x + outline[high + 1]! * y) high = i;
  }
  return [outline[high]! - outline[low]!, outline[high + 1]! - outline[low + 1]!];
}

function rectangleAt(outline: Float64Array, angleRad: number): TurnedRectangle {
  const cos = Math.cos(angleRad);
  const sin = Math.sin(angleRad);
  const across = farthest(outline, cos, sin);
  const along = farthest(outline, -sin, cos);
  return { angleRad, widthMm: across[0] * cos + across[1] * sin, depthMm: along[1] * cos - along[0] * sin };
}
