// Whether a piece lies inside a bed in a pose a maker would print it in.

/** Room on the bed: width, depth, height, mm, the margin taken off. */
export type Size = readonly [number, number, number];

type Way = readonly [number, number, number];

const UPRIGHT: readonly Way[] = [
  [0, 0, 1],
  [1, 0, 0],
  [0, 1, 0],
];

/** Room of a bed: the margin on both sides of width and depth and under the top. */
export function roomOf(bedMm: Size, marginMm = 5): Size {
  return [bedMm[0] - 2 * marginMm, bedMm[1] - 2 * marginMm, bedMm[2] - marginMm];
}

/** It stands upright, on a side of the model, or on one of its mating faces, or leans by up to 22.5 degrees from there, and is turned in steps of
 *  half a degree. The points are xyz interleaved. */
export function fitsBed(points: Float64Array, matingNormals: readonly Way[], size: Size): boolean {
  const straight = [...UPRIGHT, ...matingNormals];
  return [...straight, ...straight.flatMap(leaning)].some((up) => fitsStanding(points, up, size));
}

const LEANS_RAD = [7.5, 15, 22.5].map((deg) => (deg * Math.PI) / 180);
const LEAN_WAYS = 12;

function leaning(up: Way): Way[] {
  const { u, v } = frameOf(up);
  return Array.from({ length: LEAN_WAYS * LEANS_RAD.length }, (_, i): Way => {
    const lean = LEANS_RAD[Math.floor(i / LEAN_WAYS)]!;
    const [c, s] = [Math.cos(lean), Math.sin(lean)];
    const turn = ((i % LEAN_WAYS) * 2 * Math.PI) / LEAN_WAYS;
    const [a, b] = [s * Math.cos(turn), s * Math.sin(turn)];
    return [c * up[0] + a * u[0] + b * v[0], c * up[1] + a * u[1] + b * v[1], c * up[2] + a * u[2] + b * v[2]];
  });
}

function frameOf([nx, ny, nz]: Way): { readonly u: Way; readonly v: Way } {
  const side: Way = Math.abs(nx) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = [side[1] * nz - side[2] * ny, side[2] * nx - side[0] * nz, side[0] * ny - side[1] * nx];
  const l = Math.hypot(u[0]!, u[1]!, u[2]!);
  const [ux, uy, uz] = [u[0]! / l, u[1]! / l, u[2]! / l];
  return { u: [ux, uy, uz], v: [ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux] };
}

/** In any rotation at all, as an oriented box: 1,000 directions up. Only for the published method, which asks no more. */
export function fitsSomehow(points: Float64Array, size: Size, ways: readonly Way[]): boolean {
  return ways.some((up) => fitsStanding(points, up, size));
}

function fitsStanding(points: Float64Array, up: Way, [width, depth, height]: Size): boolean {
  let [low, high] = [Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 3) {
    const h = points[i]! * up[0] + points[i + 1]! * up[1] + points[i + 2]! * up[2];
    if (h < low) low = h;
    if (h > high) high = h;
  }
  if (high - low > height) return false;
  const hull = shadowHull(points, up);
  for (let step = 0; step < 360; step++) {
    const turn = (step * Math.PI) / 360;
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    let [lowX, highX, lowY, highY] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const [a, b] of hull) {
      const [x, y] = [a * c - b * s, a * s + b * c];
      lowX = Math.min(lowX, x);
      highX = Math.max(highX, x);
      lowY = Math.min(lowY, y);
      highY = Math.max(highY, y);
    }
    if (highX - lowX <= width && highY - lowY <= depth) return true;
  }
  return false;
}

/** Convex hull of the points seen along a direction (Andrew 1979). */
export function shadowHull(points: Float64Array, up: Way): readonly (readonly [number, number])[] {
  const { u, v } = frameOf(up);
  const flat = new Float64Array((2 * points.length) / 3);
  for (let i = 0, j = 0; i < points.length; i += 3, j += 2) {
    const [x, y, z] = [points[i]!, points[i + 1]!, points[i + 2]!];
    flat[j] = x * u[0] + y * u[1] + z * u[2];
    flat[j + 1] = x * v[0] + y * v[1] + z * v[2];
  }
  const all = outOfTheMiddle(flat);
  all.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  return [...halfHull(all), ...halfHull(all.reverse())];
}

/** Without what lies within the polygon of the farthest points in eight directions: it is not on the hull (Akl and Toussaint 1978). */
function outOfTheMiddle(flat: Float64Array): [number, number][] {
  const corners = Array.from({ length: 8 }, (_, k) => {
    const [c, s] = [Math.cos((k * Math.PI) / 4), Math.sin((k * Math.PI) / 4)];
    let [most, at] = [-Infinity, 0];
    for (let j = 0; j < flat.length; j += 2) {
      const far = flat[j]! * c + flat[j + 1]! * s;
      if (far > most) [most, at] = [far, j];
    }
    return [flat[at]!, flat[at + 1]!] as const;
  });
  const out: [number, number][] = corners.map(([x, y]) => [x, y]);
  for (let j = 0; j < flat.length; j += 2) {
    const [x, y] = [flat[j]!, flat[j + 1]!];
    let within = true;
    for (let k = 0; k < 8 && within; k++) {
      const [ax, ay] = corners[k]!;
      const [bx, by] = corners[(k + 1) % 8]!;
      within = (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0 || (ax === bx && ay === by);
    }
    if (!within) out.push([x, y]);
  }
  return out;
}

function halfHull(points: readonly [number, number][]): [number, number][] {
  const out: [number, number][] = [];
  for (const p of points) {
    while (out.length > 1) {
      const [a, b] = [out.at(-2)!, out.at(-1)!];
      if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
      out.pop();
    }
    out.push(p);
  }
  out.pop();
  return out;
}
